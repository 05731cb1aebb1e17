BEGIN TRANSACTION;
CREATE TABLE about (
	subject TEXT NOT NULL, 
	event TEXT NOT NULL, 
	PRIMARY KEY (subject, event), 
	FOREIGN KEY(event) REFERENCES event (id)
)
 WITHOUT ROWID

;
INSERT INTO "about" VALUES('bin:bucket','019ca8d9-01c0-7e79-9d33-2f584dacd708');
INSERT INTO "about" VALUES('bin:bucket','019ca8d9-01c0-7e79-9d33-2f59531d0fde');
INSERT INTO "about" VALUES('bin:bucket','019ca9b5-a620-74a2-8e3e-4dffed8cfe44');
INSERT INTO "about" VALUES('bin:bucket~02af2f','019ca965-ff80-7b92-a470-4a62ae02af2f');
INSERT INTO "about" VALUES('bin:bucket~02af2f','019ca965-ff80-7d73-b7ca-0ee0f08f60d6');
INSERT INTO "about" VALUES('bin:bucket~02af2f','019ca965-ff80-7d73-b7ca-0ee3676e5dc7');
INSERT INTO "about" VALUES('bin:bucket~02af2f','019ca965-ff80-7d73-b7ca-0ee4ba480463');
INSERT INTO "about" VALUES('bin:crate','019ca878-e060-7000-8000-000000059d26');
INSERT INTO "about" VALUES('bin:crate~765183','019ca965-ff80-7d73-b7ca-0ee2b0765183');
INSERT INTO "about" VALUES('bin:crate~765183','019ca965-ff80-7d73-b7ca-0ee3676e5dc7');
INSERT INTO "about" VALUES('bin:crate~765183','019ca965-ff80-7d73-b7ca-0ee472f73594');
INSERT INTO "about" VALUES('bin:crate~765183','019ca9b5-a620-74a2-8e3e-4e00ad0a5513');
INSERT INTO "about" VALUES('bin:drum','019ca86b-24c0-7000-8000-000000077a06');
INSERT INTO "about" VALUES('bin:drum','019ca86e-ce40-7000-8000-00000006b601');
INSERT INTO "about" VALUES('bin:drum','019ca875-36e0-7000-8000-000000007f0c');
INSERT INTO "about" VALUES('bin:drum','019ca878-e060-7000-8000-000000059d26');
INSERT INTO "about" VALUES('bin:drum','019ca882-0820-7000-8000-0000000d51e3');
INSERT INTO "about" VALUES('bin:drum~983226','019ca8d9-01c0-7e79-9d33-2f593f983226');
INSERT INTO "about" VALUES('bin:drum~983226','019ca8d9-01c0-7e79-9d33-2f59531d0fde');
INSERT INTO "about" VALUES('bin:drum~983226','019ca9b5-a620-74a2-8e3e-4dfcbc7acc55');
INSERT INTO "about" VALUES('bin:drum~983226','019ca9b5-a620-74a2-8e3e-4dffed8cfe44');
INSERT INTO "about" VALUES('bin:shelf','019ca872-77c0-7000-8000-0000000d76d4');
INSERT INTO "about" VALUES('bin:shelf~e3dcff','019ca9b5-a620-74a2-8e3e-4dfe7ce3dcff');
INSERT INTO "about" VALUES('bin:shelf~e3dcff','019ca9b5-a620-74a2-8e3e-4dff3ccd53b1');
INSERT INTO "about" VALUES('bin:shelf~fc5ecd','019ca965-ff80-7d73-b7ca-0ee3f0fc5ecd');
INSERT INTO "about" VALUES('bin:shelf~fc5ecd','019ca965-ff80-7d73-b7ca-0ee472f73594');
INSERT INTO "about" VALUES('buyer:depot','019ca86b-24c0-7000-8000-000000077a06');
INSERT INTO "about" VALUES('buyer:depot','019ca874-4c80-7000-8000-0000000c5b81');
INSERT INTO "about" VALUES('buyer:depot','019ca965-1520-707b-90de-53b4bf4e2653');
INSERT INTO "about" VALUES('buyer:depot','019ca965-ff80-7d73-b7ca-0ee1fa47a562');
INSERT INTO "about" VALUES('buyer:depot','019ca965-ff80-7d73-b7ca-0ee3676e5dc7');
INSERT INTO "about" VALUES('buyer:depot','019ca9b5-a620-74a2-8e3e-4dfcf2de29a4');
INSERT INTO "about" VALUES('buyer:harbour','019ca86a-3a60-7000-8000-0000000cad57');
INSERT INTO "about" VALUES('buyer:harbour','019ca876-2140-7000-8000-0000000f7aab');
INSERT INTO "about" VALUES('buyer:harbour','019ca877-0ba0-7000-8000-00000005d9b9');
INSERT INTO "about" VALUES('buyer:harbour','019ca87b-9f80-7000-8000-00000002f33c');
INSERT INTO "about" VALUES('buyer:harbour','019ca87c-89e0-7000-8000-0000000e693b');
INSERT INTO "about" VALUES('buyer:harbour','019ca8d7-2d00-7fb4-ad64-08a5998d3670');
INSERT INTO "about" VALUES('buyer:ridge','019ca876-2140-7000-8000-0000000f7aab');
INSERT INTO "about" VALUES('buyer:ridge','019ca879-cac0-7000-8000-0000000087c7');
INSERT INTO "about" VALUES('buyer:ridge','019ca87a-b520-7000-8000-00000005a3de');
INSERT INTO "about" VALUES('buyer:ridge','019ca87b-9f80-7000-8000-00000002f33c');
INSERT INTO "about" VALUES('buyer:ridge','019ca87f-4900-7000-8000-000000016c41');
INSERT INTO "about" VALUES('buyer:ridge','019ca8d7-2d00-7fb4-ad64-08a574858232');
INSERT INTO "about" VALUES('context:taps','019ca869-5000-7000-8000-0000000f3973');
INSERT INTO "about" VALUES('event:019ca874-4c80-7000-8000-0000000c5b81','019ca886-9c00-7000-8000-0000000c4d28');
INSERT INTO "about" VALUES('event:019ca878-e060-7000-8000-000000059d26','019ca889-5b20-7000-8000-000000039c4c');
INSERT INTO "about" VALUES('event:019ca87b-9f80-7000-8000-00000002f33c','019ca887-8660-7000-8000-000000045b8e');
INSERT INTO "about" VALUES('event:019ca87f-4900-7000-8000-000000016c41','019ca88b-2fe0-7000-8000-0000000a1786');
INSERT INTO "about" VALUES('event:019ca884-c740-7000-8000-0000000ff229','019ca88a-4580-7000-8000-00000006d9bf');
INSERT INTO "about" VALUES('event:019ca885-b1a0-7000-8000-000000065a28','019ca888-70c0-7000-8000-000000014c5e');
INSERT INTO "about" VALUES('event:019ca8d7-2d00-7fb4-ad64-08a574858232','019ca9b5-a620-74a2-8e3e-4e010c7fc6d5');
INSERT INTO "about" VALUES('find:f1','019ca8d8-1760-7ee5-849c-c1f7b8d5d780');
INSERT INTO "about" VALUES('find:f1','019ca947-c920-7fd4-ae2e-5eb0a21552f3');
INSERT INTO "about" VALUES('find:f11','019ca873-6220-7000-8000-0000000335ed');
INSERT INTO "about" VALUES('find:f11','019ca878-e060-7000-8000-000000059d26');
INSERT INTO "about" VALUES('find:f11','019ca87d-7440-7000-8000-0000000112c6');
INSERT INTO "about" VALUES('find:f11','019ca87e-5ea0-7000-8000-00000009f43a');
INSERT INTO "about" VALUES('find:f11','019ca880-3360-7000-8000-000000027c44');
INSERT INTO "about" VALUES('find:f12','019ca9b5-a620-74a2-8e3e-4dffc1078407');
INSERT INTO "about" VALUES('find:f12','019ca9b5-a620-74a2-8e3e-4dffed8cfe44');
INSERT INTO "about" VALUES('find:f12','019ca9b5-a620-74a2-8e3e-4e009a08fd0a');
INSERT INTO "about" VALUES('find:f26','019ca881-1dc0-7000-8000-0000000065f7');
INSERT INTO "about" VALUES('find:f26','019ca884-c740-7000-8000-0000000ff229');
INSERT INTO "about" VALUES('find:f3','019ca960-8140-7133-8049-e2fa91362376');
INSERT INTO "about" VALUES('find:f3','019ca965-ff80-7d73-b7ca-0ee1dce8c4be');
INSERT INTO "about" VALUES('find:f5','019ca86d-e3e0-7000-8000-000000094f13');
INSERT INTO "about" VALUES('find:f5','019ca870-a300-7000-8000-00000001eaa5');
INSERT INTO "about" VALUES('find:f5','019ca871-8d60-7000-8000-000000061a16');
INSERT INTO "about" VALUES('find:f5~a84bf5','019ca8d9-ec20-7f63-bb44-5a3c01a84bf5');
INSERT INTO "about" VALUES('find:noted-0','01a22ba6-d1fc-7061-b0ca-b0200ace8541');
INSERT INTO "about" VALUES('find:noted-1','01a22ba6-d219-718a-9697-301e285b12f7');
INSERT INTO "about" VALUES('haul:h1','019ca876-2140-7000-8000-0000000f7aab');
INSERT INTO "about" VALUES('haul:h1','019ca877-0ba0-7000-8000-00000005d9b9');
INSERT INTO "about" VALUES('haul:h2','019ca87b-9f80-7000-8000-00000002f33c');
INSERT INTO "about" VALUES('haul:h2','019ca87c-89e0-7000-8000-0000000e693b');
INSERT INTO "about" VALUES('kind:toy','019ca988-c9c0-72ef-98f4-c430af58e7bd');
INSERT INTO "about" VALUES('kind:toy','019ca9b5-a620-74a2-8e3e-4dfdb2df1478');
INSERT INTO "about" VALUES('round:r4','019ca86c-f980-7000-8000-00000007596c');
INSERT INTO "about" VALUES('rule:curbside','019ca86c-0f20-7000-8000-00000008e6b5');
INSERT INTO "about" VALUES('rule:payment','019ca86a-3a60-745f-a32c-c5b953a079f0');
INSERT INTO "about" VALUES('rule:payment','019ca86f-b8a0-7000-8000-000000025654');
INSERT INTO "about" VALUES('setting:bench','019ca882-f280-7000-8000-00000002ae58');
INSERT INTO "about" VALUES('ticket:t2','019ca86b-24c0-7000-8000-000000077a06');
INSERT INTO "about" VALUES('ticket:t9','019ca965-ff80-7d73-b7ca-0ee3676e5dc7');
CREATE TABLE account (
	name TEXT NOT NULL, 
	amount TEXT NOT NULL, 
	PRIMARY KEY (name)
)
 WITHOUT ROWID

;
INSERT INTO "account" VALUES('deductions:depot','-882.291');
INSERT INTO "account" VALUES('minutes:bench','192');
INSERT INTO "account" VALUES('minutes:collect','10');
INSERT INTO "account" VALUES('minutes:haul','503');
INSERT INTO "account" VALUES('minutes:list','10');
INSERT INTO "account" VALUES('paid:ridge','584.19');
INSERT INTO "account" VALUES('parts','39.7');
INSERT INTO "account" VALUES('parts-fees','-99357');
INSERT INTO "account" VALUES('parts-postage','-176.41');
INSERT INTO "account" VALUES('sales:depot','94930.03359');
INSERT INTO "account" VALUES('spent:fuel','-64404.8');
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0008');
CREATE TABLE alias (
	event TEXT NOT NULL, 
	subject TEXT NOT NULL, 
	"key" TEXT NOT NULL, 
	PRIMARY KEY (event, subject), 
	FOREIGN KEY(event) REFERENCES event (id)
)
 WITHOUT ROWID

;
INSERT INTO "alias" VALUES('019ca8d9-01c0-7e79-9d33-2f593f983226','bin:drum','bin:drum~983226');
INSERT INTO "alias" VALUES('019ca8d9-01c0-7e79-9d33-2f59531d0fde','bin:drum','bin:drum~983226');
INSERT INTO "alias" VALUES('019ca8d9-ec20-7f63-bb44-5a3c01a84bf5','find:f5','find:f5~a84bf5');
INSERT INTO "alias" VALUES('019ca965-ff80-7b92-a470-4a62ae02af2f','bin:bucket','bin:bucket~02af2f');
INSERT INTO "alias" VALUES('019ca965-ff80-7d73-b7ca-0ee0f08f60d6','bin:bucket','bin:bucket~02af2f');
INSERT INTO "alias" VALUES('019ca965-ff80-7d73-b7ca-0ee2b0765183','bin:crate','bin:crate~765183');
INSERT INTO "alias" VALUES('019ca965-ff80-7d73-b7ca-0ee3676e5dc7','bin:bucket','bin:bucket~02af2f');
INSERT INTO "alias" VALUES('019ca965-ff80-7d73-b7ca-0ee3676e5dc7','bin:crate','bin:crate~765183');
INSERT INTO "alias" VALUES('019ca965-ff80-7d73-b7ca-0ee3f0fc5ecd','bin:shelf','bin:shelf~fc5ecd');
INSERT INTO "alias" VALUES('019ca965-ff80-7d73-b7ca-0ee472f73594','bin:crate','bin:crate~765183');
INSERT INTO "alias" VALUES('019ca965-ff80-7d73-b7ca-0ee472f73594','bin:shelf','bin:shelf~fc5ecd');
INSERT INTO "alias" VALUES('019ca965-ff80-7d73-b7ca-0ee4ba480463','bin:bucket','bin:bucket~02af2f');
INSERT INTO "alias" VALUES('019ca9b5-a620-74a2-8e3e-4dfcbc7acc55','bin:drum','bin:drum~983226');
INSERT INTO "alias" VALUES('019ca9b5-a620-74a2-8e3e-4dfe7ce3dcff','bin:shelf','bin:shelf~e3dcff');
INSERT INTO "alias" VALUES('019ca9b5-a620-74a2-8e3e-4dff3ccd53b1','bin:shelf','bin:shelf~e3dcff');
INSERT INTO "alias" VALUES('019ca9b5-a620-74a2-8e3e-4dffed8cfe44','bin:drum','bin:drum~983226');
INSERT INTO "alias" VALUES('019ca9b5-a620-74a2-8e3e-4e00ad0a5513','bin:crate','bin:crate~765183');
CREATE TABLE answered (
	"key" TEXT NOT NULL, 
	digest TEXT NOT NULL, 
	answer TEXT NOT NULL, 
	at TEXT NOT NULL, 
	PRIMARY KEY ("key")
)
 WITHOUT ROWID

;
CREATE TABLE assertion (
	event TEXT NOT NULL, 
	place TEXT NOT NULL, 
	grade TEXT NOT NULL, 
	mg BIGINT NOT NULL, 
	other TEXT NOT NULL, 
	"order" TEXT NOT NULL, 
	live BOOLEAN NOT NULL, 
	PRIMARY KEY (event), 
	FOREIGN KEY(event) REFERENCES event (id)
)
 WITHOUT ROWID

;
INSERT INTO "assertion" VALUES('019ca9b5-a620-74a2-8e3e-4e00ad0a5513','bin:crate~765183','motors',33309127,'loss','2026-03-01T13:15:00.000000Z',1);
CREATE TABLE balance (
	place TEXT NOT NULL, 
	grade TEXT NOT NULL, 
	mg BIGINT NOT NULL, 
	PRIMARY KEY (place, grade)
)
 WITHOUT ROWID

;
INSERT INTO "balance" VALUES('bin:bucket','light-iron',1072379);
INSERT INTO "balance" VALUES('bin:bucket','motors',1218888);
INSERT INTO "balance" VALUES('bin:bucket~02af2f','light-iron',-1927110);
INSERT INTO "balance" VALUES('bin:crate~765183','light-iron',-3733913);
INSERT INTO "balance" VALUES('bin:crate~765183','motors',33309127);
INSERT INTO "balance" VALUES('bin:drum','copper-2',39106670);
INSERT INTO "balance" VALUES('bin:drum','motors',7756465);
INSERT INTO "balance" VALUES('bin:drum~983226','light-iron',-3229615);
INSERT INTO "balance" VALUES('bin:drum~983226','motors',2503499);
INSERT INTO "balance" VALUES('bin:shelf~fc5ecd','motors',3733913);
INSERT INTO "balance" VALUES('buyer:depot','copper-2',149538);
INSERT INTO "balance" VALUES('buyer:depot','light-iron',1097910);
INSERT INTO "balance" VALUES('buyer:depot','motors',815661);
INSERT INTO "balance" VALUES('find:f11','',2813816);
INSERT INTO "balance" VALUES('find:f26','',243816);
INSERT INTO "balance" VALUES('find:f5~a84bf5','',3349296);
INSERT INTO "balance" VALUES('find:noted-0','',1000);
INSERT INTO "balance" VALUES('find:noted-1','',1001);
INSERT INTO "balance" VALUES('loss','',-80268731);
INSERT INTO "balance" VALUES('outside','',-21866492);
INSERT INTO "balance" VALUES('people','',353257);
INSERT INTO "balance" VALUES('residue','',13499625);
CREATE TABLE "conflict" (
	about TEXT NOT NULL, 
	data TEXT NOT NULL, 
	PRIMARY KEY (about)
)
 WITHOUT ROWID

;
INSERT INTO "conflict" VALUES('bin:bucket~02af2f','[{"code":"bin-below-zero","mg":-1927110,"name":"light-iron","sides":[["019ca965-ff80-7d73-b7ca-0ee3676e5dc7","00000002","me","2026-03-01T05:00:00.000000Z","1927110"]],"subjects":["bin:bucket~02af2f"]}]');
INSERT INTO "conflict" VALUES('bin:crate~765183','[{"code":"bin-below-zero","mg":-3733913,"name":"light-iron","sides":[["019ca965-ff80-7d73-b7ca-0ee472f73594","00000002","me","2026-03-01T11:13:00.000000Z","3733913"]],"subjects":["bin:crate~765183"]}]');
INSERT INTO "conflict" VALUES('bin:drum~983226','[{"code":"bin-below-zero","mg":-3229615,"name":"light-iron","sides":[["019ca9b5-a620-74a2-8e3e-4dfcbc7acc55","00000001","me","2026-03-01T14:03:00.000000Z","3722387"]],"subjects":["bin:drum~983226"]}]');
INSERT INTO "conflict" VALUES('find:f11','[{"code":"ended-twice","mg":0,"name":"","sides":[["019ca87d-7440-7000-8000-0000000112c6","","me","2026-03-01T08:40:00.000000Z","opened"],["019ca880-3360-7000-8000-000000027c44","","mate","2026-03-01T09:00:00.000000Z","discarded"]],"subjects":["find:f11"]}]');
CREATE TABLE copy (
	device TEXT NOT NULL, 
	place TEXT NOT NULL, 
	PRIMARY KEY (device)
);
INSERT INTO "copy" VALUES('4de94e43','3d1219c7c4c5404aaa1f6d2a48adfda4:65024:2147725');
CREATE TABLE correction (
	target TEXT NOT NULL, 
	event TEXT NOT NULL, 
	PRIMARY KEY (target, event), 
	FOREIGN KEY(event) REFERENCES event (id)
)
 WITHOUT ROWID

;
INSERT INTO "correction" VALUES('019ca874-4c80-7000-8000-0000000c5b81','019ca886-9c00-7000-8000-0000000c4d28');
INSERT INTO "correction" VALUES('019ca878-e060-7000-8000-000000059d26','019ca889-5b20-7000-8000-000000039c4c');
INSERT INTO "correction" VALUES('019ca87b-9f80-7000-8000-00000002f33c','019ca887-8660-7000-8000-000000045b8e');
INSERT INTO "correction" VALUES('019ca87f-4900-7000-8000-000000016c41','019ca88b-2fe0-7000-8000-0000000a1786');
INSERT INTO "correction" VALUES('019ca884-c740-7000-8000-0000000ff229','019ca88a-4580-7000-8000-00000006d9bf');
INSERT INTO "correction" VALUES('019ca885-b1a0-7000-8000-000000065a28','019ca888-70c0-7000-8000-000000014c5e');
INSERT INTO "correction" VALUES('019ca8d7-2d00-7fb4-ad64-08a574858232','019ca9b5-a620-74a2-8e3e-4e010c7fc6d5');
CREATE TABLE device_key (
	digest TEXT NOT NULL, 
	name TEXT NOT NULL, 
	made TEXT NOT NULL, 
	seen TEXT NOT NULL, 
	ended TEXT NOT NULL, person TEXT DEFAULT '' NOT NULL, role TEXT DEFAULT 'owner' NOT NULL, 
	PRIMARY KEY (digest)
)
 WITHOUT ROWID

;
CREATE TABLE entry (
	event TEXT NOT NULL, 
	account TEXT NOT NULL, 
	amount TEXT NOT NULL, 
	tag TEXT NOT NULL, 
	live BOOLEAN NOT NULL, 
	FOREIGN KEY(event) REFERENCES event (id)
);
INSERT INTO "entry" VALUES('019ca86b-24c0-7000-8000-000000077a06','sales:depot','77984.92','copper-2',1);
INSERT INTO "entry" VALUES('019ca86b-24c0-7000-8000-000000077a06','deductions:depot','-57.741','moisture',1);
INSERT INTO "entry" VALUES('019ca86c-f980-7000-8000-00000007596c','minutes:collect','10','r4',1);
INSERT INTO "entry" VALUES('019ca870-a300-7000-8000-00000001eaa5','parts','39.7','f5',1);
INSERT INTO "entry" VALUES('019ca870-a300-7000-8000-00000001eaa5','parts-fees','-99357','f5',1);
INSERT INTO "entry" VALUES('019ca870-a300-7000-8000-00000001eaa5','parts-postage','-176.41','f5',1);
INSERT INTO "entry" VALUES('019ca870-a300-7000-8000-00000001eaa5','minutes:list','10','f5',1);
INSERT INTO "entry" VALUES('019ca877-0ba0-7000-8000-00000005d9b9','minutes:haul','232','h1',1);
INSERT INTO "entry" VALUES('019ca877-f600-7000-8000-00000005123b','spent:fuel','-800.12','a day''s worth',1);
INSERT INTO "entry" VALUES('019ca878-e060-7000-8000-000000059d26','minutes:bench','76','f11',0);
INSERT INTO "entry" VALUES('019ca87a-b520-7000-8000-00000005a3de','paid:ridge','584.19','',1);
INSERT INTO "entry" VALUES('019ca87c-89e0-7000-8000-0000000e693b','minutes:haul','271','h2',1);
INSERT INTO "entry" VALUES('019ca87d-7440-7000-8000-0000000112c6','minutes:bench','60','f11',1);
INSERT INTO "entry" VALUES('019ca883-dce0-7000-8000-000000039cc0','spent:fuel','-63039','a day''s worth',1);
INSERT INTO "entry" VALUES('019ca884-c740-7000-8000-0000000ff229','parts','0.037544','f26',0);
INSERT INTO "entry" VALUES('019ca884-c740-7000-8000-0000000ff229','parts-fees','-801.84','f26',0);
INSERT INTO "entry" VALUES('019ca884-c740-7000-8000-0000000ff229','parts-postage','-679.47','f26',0);
INSERT INTO "entry" VALUES('019ca884-c740-7000-8000-0000000ff229','minutes:list','9','f26',0);
INSERT INTO "entry" VALUES('019ca885-b1a0-7000-8000-000000065a28','minutes:bench','170','',0);
INSERT INTO "entry" VALUES('019ca8d7-2d00-7fb4-ad64-08a574858232','paid:ridge','0.089818','',0);
INSERT INTO "entry" VALUES('019ca8f2-a440-7f82-bf37-7b844e741266','spent:fuel','-565.68','a day''s worth',1);
INSERT INTO "entry" VALUES('019ca965-ff80-7d73-b7ca-0ee3676e5dc7','sales:depot','-237.83','light-iron',1);
INSERT INTO "entry" VALUES('019ca965-ff80-7d73-b7ca-0ee3676e5dc7','sales:depot','17182.94359','motors',1);
INSERT INTO "entry" VALUES('019ca965-ff80-7d73-b7ca-0ee3676e5dc7','deductions:depot','-824.55','moisture',1);
INSERT INTO "entry" VALUES('019ca9b5-a620-74a2-8e3e-4dffed8cfe44','minutes:bench','55','f12',1);
INSERT INTO "entry" VALUES('019ca9b5-a620-74a2-8e3e-4e009a08fd0a','minutes:bench','77','f12',1);
CREATE TABLE event (
	id TEXT NOT NULL, 
	kind TEXT NOT NULL, 
	who TEXT NOT NULL, 
	happened TEXT NOT NULL, 
	typed TEXT NOT NULL, 
	schema INTEGER NOT NULL, 
	data TEXT NOT NULL, device TEXT DEFAULT '' NOT NULL, "order" TEXT DEFAULT '' NOT NULL, refs TEXT DEFAULT '{}' NOT NULL, intent TEXT DEFAULT '' NOT NULL, 
	PRIMARY KEY (id)
)
 WITHOUT ROWID

;
INSERT INTO "event" VALUES('019ca869-5000-7000-8000-0000000f3973','identified','me','2026-03-01T08:20:00.000000Z','2026-03-01T08:00:00.000000Z',1,'{"answers":[{"answer":"weak","test":"magnet"},{"answer":"8.4+-0.2","test":"density"}],"context":"taps","count":4,"grade":null,"mass_mg":400000,"material":"brass-yellow","note":""}','','2026-03-01T08:20:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca86a-3a60-7000-8000-0000000cad57','traded','mate','2026-03-01T08:00:00.000000Z','2026-03-01T08:01:00.000000Z',1,'{"at":["30.65","-40.57"],"buyer":"harbour","kind":"yard","km":"14.0","minutes":5,"name":"harbour yard","note":"","phone":"+1 (555) 0142 ext 7","refuses":["li-ion"],"shipping":[{"cost":"17.00","up_to_mg":20000000}]}','','2026-03-01T08:00:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca86a-3a60-745f-a32c-c5b953a079f0','ruled','me','2026-03-01T08:01:00.000000Z','2026-03-01T08:01:00.000000Z',3,'{"card":"payment","says":"by cheque","seen":"2025-03-30","source":"notice, at the yard"}','00000001','2026-03-01T08:01:00.000000Z','{}','9e0a800e-27ee-5071-ad51-ee340f2a0665');
INSERT INTO "event" VALUES('019ca86b-24c0-7000-8000-000000077a06','ticketed','mate','2026-03-01T08:20:00.000000Z','2026-03-01T08:02:00.000000Z',1,'{"buyer":"depot","deductions":[{"amount":"57.741","what":"moisture"}],"haul":null,"lines":[{"amount":"77984.92","bin":"drum","grade":"copper-2","mass_mg":149538,"own_mg":149538,"price":"4.10","unit":"lb"}],"number":"","ticket":"t2","total":"77927.179"}','','2026-03-01T08:20:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca86c-0f20-7000-8000-00000008e6b5','ruled','mate','2026-03-01T09:00:00.000000Z','2026-03-01T08:03:00.000000Z',1,'{"card":"curbside","says":"no cash","seen":"2025-03-27","source":"notice, at the yard"}','','2026-03-01T09:00:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca86c-f980-7000-8000-00000007596c','round','mate','2026-03-01T08:40:00.000000Z','2026-03-01T08:04:00.000000Z',1,'{"km":"927.74","left":["a sofa bed"],"minutes":10,"note":"wet","round":"r4","status":"ended","where":"the quay"}','','2026-03-01T08:40:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca86d-e3e0-7000-8000-000000094f13','found','mate','2026-03-01T08:00:00.000000Z','2026-03-01T08:05:00.000000Z',1,'{"count":3,"find":"f5","kind":"fan","mass_mg":null,"note":"","photo":"","source":"curb","works":"no"}','','2026-03-01T08:00:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca86e-ce40-7000-8000-00000006b601','recounted','me','2026-03-01T08:20:00.000000Z','2026-03-01T08:06:00.000000Z',1,'{"bin":"drum","grade":"motors","mass_mg":36570,"opening":false,"was_mg":0}','','2026-03-01T08:20:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca86f-b8a0-7000-8000-000000025654','ruled','me','2026-03-01T09:00:00.000000Z','2026-03-01T08:07:00.000000Z',1,'{"card":"payment","says":"by cheque","seen":"2025-03-04","source":"notice, at the yard"}','','2026-03-01T09:00:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca870-a300-7000-8000-00000001eaa5','sold','mate','2026-03-01T08:00:00.000000Z','2026-03-01T08:08:00.000000Z',1,'{"closes":false,"count":2,"fee":"99357","find":"f5","mass_mg":353257,"minutes":10,"postage":"176.41","price":"19.85","was_mg":0,"what":"motor"}','','2026-03-01T08:00:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca871-8d60-7000-8000-000000061a16','discarded','me','2026-03-01T09:00:00.000000Z','2026-03-01T08:09:00.000000Z',1,'{"find":"f5","mass_mg":0,"was_mg":0}','','2026-03-01T09:00:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca872-77c0-7000-8000-0000000d76d4','binned','me','2026-03-01T09:00:00.000000Z','2026-03-01T08:10:00.000000Z',1,'{"bin":"shelf","capacity_l":"7.5","grade":"copper-2","name":"by the door"}','','2026-03-01T09:00:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca873-6220-7000-8000-0000000335ed','found','me','2026-03-01T09:00:00.000000Z','2026-03-01T08:11:00.000000Z',1,'{"count":1,"find":"f11","kind":"fan","mass_mg":5102709,"note":"","photo":"","source":"curb","works":"yes"}','','2026-03-01T09:00:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca874-4c80-7000-8000-0000000c5b81','quoted','me','2026-03-01T08:40:00.000000Z','2026-03-01T08:12:00.000000Z',1,'{"buyer":"depot","from_mg":0,"grade":"light-iron","minimum_mg":0,"on":"2026-03-01","price":"578.73","said":"no 2 copper 4.10","unit":"lb"}','','2026-03-01T08:40:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca875-36e0-7000-8000-000000007f0c','recounted','mate','2026-03-01T08:20:00.000000Z','2026-03-01T08:13:00.000000Z',1,'{"bin":"drum","grade":"copper-2","mass_mg":39106670,"opening":false,"was_mg":-149538}','','2026-03-01T08:20:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca876-2140-7000-8000-0000000f7aab','hauled','me','2026-03-01T08:20:00.000000Z','2026-03-01T08:14:00.000000Z',1,'{"haul":"h1","km":null,"minutes":null,"note":"","status":"started","stops":["harbour","ridge"]}','','2026-03-01T08:20:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca877-0ba0-7000-8000-00000005d9b9','hauled','me','2026-03-01T09:00:00.000000Z','2026-03-01T08:15:00.000000Z',1,'{"haul":"h1","km":"31.5","minutes":232,"note":"","status":"finished","stops":["harbour"]}','','2026-03-01T09:00:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca877-f600-7000-8000-00000005123b','spent','me','2026-03-01T08:20:00.000000Z','2026-03-01T08:16:00.000000Z',1,'{"amount":"800.12","category":"fuel","what":"a day''s worth"}','','2026-03-01T08:20:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca878-e060-7000-8000-000000059d26','opened','me','2026-03-01T08:40:00.000000Z','2026-03-01T08:17:00.000000Z',1,'{"answers":[{"answer":"white","count":1,"piece":"piece0"}],"closes":true,"find":"f11","loss_mg":27578,"minutes":76,"pieces":[{"bin":"drum","count":1,"grade":"light-iron","mass_mg":99408,"piece":"piece0"},{"bin":"drum","count":3,"grade":"copper-2","mass_mg":1074488,"piece":"piece1"},{"bin":"crate","count":4,"grade":"motors","mass_mg":1477610,"piece":"piece2"}],"residue_mg":134732,"runs":[{"operation":"open","piece":"whole","times":1}],"was_mg":5102709}','','2026-03-01T08:40:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca879-cac0-7000-8000-0000000087c7','quoted','me','2026-03-01T08:20:00.000000Z','2026-03-01T08:18:00.000000Z',1,'{"buyer":"ridge","from_mg":0,"grade":"copper-2","minimum_mg":0,"on":"2026-03-01","price":"62.822","said":"no 2 copper 4.10","unit":"lb"}','','2026-03-01T08:20:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca87a-b520-7000-8000-00000005a3de','paid','mate','2026-03-01T08:00:00.000000Z','2026-03-01T08:19:00.000000Z',1,'{"amount":"584.19","buyer":"ridge","how":"cash","ticket":null}','','2026-03-01T08:00:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca87b-9f80-7000-8000-00000002f33c','hauled','mate','2026-03-01T08:20:00.000000Z','2026-03-01T08:20:00.000000Z',1,'{"haul":"h2","km":null,"minutes":null,"note":"","status":"started","stops":["harbour","ridge"]}','','2026-03-01T08:20:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca87c-89e0-7000-8000-0000000e693b','hauled','mate','2026-03-01T08:20:00.000000Z','2026-03-01T08:21:00.000000Z',1,'{"haul":"h2","km":"31.5","minutes":271,"note":"","status":"finished","stops":["harbour"]}','','2026-03-01T08:20:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca87d-7440-7000-8000-0000000112c6','opened','me','2026-03-01T08:40:00.000000Z','2026-03-01T08:22:00.000000Z',1,'{"closes":true,"find":"f11","loss_mg":1172,"minutes":60,"pieces":[],"residue_mg":484225,"runs":[{"operation":"open","piece":"whole","times":1}],"was_mg":2288893}','','2026-03-01T08:40:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca87e-5ea0-7000-8000-00000009f43a','tested','mate','2026-03-01T08:00:00.000000Z','2026-03-01T08:23:00.000000Z',1,'{"find":"f11","works":"no"}','','2026-03-01T08:00:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca87f-4900-7000-8000-000000016c41','quoted','me','2026-03-01T08:40:00.000000Z','2026-03-01T08:24:00.000000Z',1,'{"buyer":"ridge","from_mg":0,"grade":"motors","minimum_mg":0,"on":"2026-03-01","price":null,"said":"no 2 copper 4.10","unit":"lb"}','','2026-03-01T08:40:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca880-3360-7000-8000-000000027c44','discarded','mate','2026-03-01T09:00:00.000000Z','2026-03-01T08:25:00.000000Z',1,'{"find":"f11","mass_mg":1803496,"was_mg":1803496}','','2026-03-01T09:00:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca881-1dc0-7000-8000-0000000065f7','found','me','2026-03-01T09:00:00.000000Z','2026-03-01T08:26:00.000000Z',1,'{"count":3,"find":"f26","kind":"desktop-pc","mass_mg":243816,"note":"","photo":"","source":"curb","works":"no"}','','2026-03-01T09:00:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca882-0820-7000-8000-0000000d51e3','recounted','mate','2026-03-01T08:40:00.000000Z','2026-03-01T08:27:00.000000Z',1,'{"bin":"drum","grade":"motors","mass_mg":7756465,"opening":false,"was_mg":36570}','','2026-03-01T08:40:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca882-f280-7000-8000-00000002ae58','set','me','2026-03-01T09:00:00.000000Z','2026-03-01T08:28:00.000000Z',1,'{"name":"bench","value":"15"}','','2026-03-01T09:00:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca883-dce0-7000-8000-000000039cc0','spent','mate','2026-03-01T08:20:00.000000Z','2026-03-01T08:29:00.000000Z',1,'{"amount":"63039","category":"fuel","what":"a day''s worth"}','','2026-03-01T08:20:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca884-c740-7000-8000-0000000ff229','sold','me','2026-03-01T09:00:00.000000Z','2026-03-01T08:30:00.000000Z',1,'{"closes":false,"count":2,"fee":"801.84","find":"f26","mass_mg":268257,"minutes":9,"postage":"679.47","price":"0.018772","was_mg":243816,"what":"motor"}','','2026-03-01T09:00:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca885-b1a0-7000-8000-000000065a28','worked','mate','2026-03-01T08:40:00.000000Z','2026-03-01T08:31:00.000000Z',1,'{"activity":"bench","find":null,"minutes":170,"note":""}','','2026-03-01T08:40:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca886-9c00-7000-8000-0000000c4d28','corrected','me','2026-03-01T08:20:00.000000Z','2026-03-01T08:32:00.000000Z',1,'{"event":"019ca874-4c80-7000-8000-0000000c5b81","instead":null,"why":"slip of the thumb"}','','2026-03-01T08:20:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca887-8660-7000-8000-000000045b8e','corrected','me','2026-03-01T08:20:00.000000Z','2026-03-01T08:33:00.000000Z',1,'{"event":"019ca87b-9f80-7000-8000-00000002f33c","instead":null,"why":"slip of the thumb"}','','2026-03-01T08:20:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca888-70c0-7000-8000-000000014c5e','corrected','me','2026-03-01T08:40:00.000000Z','2026-03-01T08:34:00.000000Z',1,'{"event":"019ca885-b1a0-7000-8000-000000065a28","instead":null,"why":"slip of the thumb"}','','2026-03-01T08:40:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca889-5b20-7000-8000-000000039c4c','corrected','mate','2026-03-01T08:20:00.000000Z','2026-03-01T08:35:00.000000Z',1,'{"event":"019ca878-e060-7000-8000-000000059d26","instead":null,"why":"slip of the thumb"}','','2026-03-01T08:20:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca88a-4580-7000-8000-00000006d9bf','corrected','mate','2026-03-01T08:40:00.000000Z','2026-03-01T08:36:00.000000Z',1,'{"event":"019ca884-c740-7000-8000-0000000ff229","instead":null,"why":"slip of the thumb"}','','2026-03-01T08:40:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca88b-2fe0-7000-8000-0000000a1786','corrected','mate','2026-03-01T09:00:00.000000Z','2026-03-01T08:37:00.000000Z',1,'{"event":"019ca87f-4900-7000-8000-000000016c41","instead":null,"why":"slip of the thumb"}','','2026-03-01T09:00:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca8d7-2d00-7fb4-ad64-08a574858232','paid','me','2026-03-01T10:00:00.000000Z','2026-03-01T10:00:00.000000Z',3,'{"amount":"0.089818","buyer":"ridge","how":"cash","ticket":null}','00000002','2026-03-01T10:00:00.000000Z','{}','4823f47a-38fb-5237-bfc5-76b33f28ea76');
INSERT INTO "event" VALUES('019ca8d7-2d00-7fb4-ad64-08a5998d3670','quoted','me','2026-03-01T08:30:00.000000Z','2026-03-01T08:30:00.000000Z',2,'{"buyer":"harbour","from_mg":0,"grade":"copper-2","minimum_mg":0,"on":"2026-03-01","price":"0.084011","said":"no 2 copper 4.10","unit":"lb"}','00000002','2026-03-01T10:00:00.000001Z','{}','');
INSERT INTO "event" VALUES('019ca8d8-1760-7ee5-849c-c1f7b8d5d780','found','me','2026-03-01T10:01:00.000000Z','2026-03-01T10:01:00.000000Z',2,'{"count":2,"find":"f1","kind":"desktop-pc","mass_mg":8095658,"note":"","photo":"","source":"curb","works":"no"}','00000001','2026-03-01T10:01:00.000000Z','{"find:f1":"019ca8d8-1760-7ee5-849c-c1f7b8d5d780"}','');
INSERT INTO "event" VALUES('019ca8d9-01c0-7e79-9d33-2f584dacd708','binned','me','2026-03-01T10:02:00.000000Z','2026-03-01T10:02:00.000000Z',2,'{"bin":"bucket","capacity_l":null,"grade":"light-iron","name":""}','00000001','2026-03-01T10:02:00.000000Z','{"bin:bucket":"019ca8d9-01c0-7e79-9d33-2f584dacd708"}','');
INSERT INTO "event" VALUES('019ca8d9-01c0-7e79-9d33-2f593f983226','binned','me','2026-03-01T10:02:00.000000Z','2026-03-01T10:02:00.000000Z',2,'{"bin":"drum","capacity_l":null,"grade":"copper-2","name":""}','00000001','2026-03-01T10:02:00.000001Z','{"bin:drum":"019ca8d9-01c0-7e79-9d33-2f593f983226"}','');
INSERT INTO "event" VALUES('019ca8d9-01c0-7e79-9d33-2f59531d0fde','moved','me','2026-03-01T10:02:00.000000Z','2026-03-01T10:02:00.000000Z',2,'{"bin":"drum","grade":"motors","mass_mg":1218888,"to_bin":"bucket","to_grade":"motors"}','00000001','2026-03-01T10:02:00.000002Z','{"bin:bucket":"019ca8d9-01c0-7e79-9d33-2f584dacd708","bin:drum":"019ca8d9-01c0-7e79-9d33-2f593f983226"}','');
INSERT INTO "event" VALUES('019ca8d9-ec20-7f63-bb44-5a3c01a84bf5','found','me','2026-03-01T10:03:00.000000Z','2026-03-01T10:03:00.000000Z',2,'{"count":1,"find":"f5","kind":"desktop-pc","mass_mg":3349296,"note":"","photo":"","source":"curb","works":"unknown"}','00000001','2026-03-01T10:03:00.000000Z','{"find:f5":"019ca8d9-ec20-7f63-bb44-5a3c01a84bf5"}','');
INSERT INTO "event" VALUES('019ca8f2-a440-7f82-bf37-7b844e741266','spent','me','2026-03-01T10:30:00.000000Z','2026-03-01T10:30:00.000000Z',2,'{"amount":"565.68","category":"fuel","what":"a day''s worth"}','00000002','2026-03-01T10:30:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca947-c920-7fd4-ae2e-5eb0a21552f3','discarded','me','2026-03-01T12:03:00.000000Z','2026-03-01T12:03:00.000000Z',2,'{"find":"f1","mass_mg":8095658,"was_mg":8095658}','00000001','2026-03-01T12:03:00.000000Z','{"find:f1":"019ca8d8-1760-7ee5-849c-c1f7b8d5d780"}','');
INSERT INTO "event" VALUES('019ca960-8140-7133-8049-e2fa91362376','found','me','2026-03-01T12:30:00.000000Z','2026-03-01T12:30:00.000000Z',2,'{"count":1,"find":"f3","kind":"bread-machine","mass_mg":2461391,"note":"","photo":"","source":"curb","works":"no"}','00000002','2026-03-01T12:30:00.000000Z','{"find:f3":"019ca960-8140-7133-8049-e2fa91362376"}','');
INSERT INTO "event" VALUES('019ca965-1520-707b-90de-53b4bf4e2653','quoted','me','2026-03-01T12:35:00.000000Z','2026-03-01T12:35:00.000000Z',3,'{"buyer":"depot","from_mg":22679618,"grade":"motors","minimum_mg":0,"on":"2026-03-01","price":"466.27","said":"no 2 copper 4.10","unit":"lb"}','00000002','2026-03-01T12:35:00.000000Z','{}','b0c4142f-fe1e-569a-9476-775ac965c6f9');
INSERT INTO "event" VALUES('019ca965-ff80-7b92-a470-4a62ae02af2f','binned','me','2026-03-01T12:36:00.000000Z','2026-03-01T12:36:00.000000Z',2,'{"bin":"bucket","capacity_l":null,"grade":"motors","name":""}','00000002','2026-03-01T12:36:00.000000Z','{"bin:bucket":"019ca965-ff80-7b92-a470-4a62ae02af2f"}','');
INSERT INTO "event" VALUES('019ca965-ff80-7d73-b7ca-0ee0f08f60d6','binned','me','2026-03-01T12:36:00.000000Z','2026-03-01T12:36:00.000000Z',2,'{"bin":"bucket","capacity_l":"7.5","grade":"motors","name":"by the door"}','00000002','2026-03-01T12:36:00.000001Z','{"bin:bucket":"019ca965-ff80-7b92-a470-4a62ae02af2f"}','');
INSERT INTO "event" VALUES('019ca965-ff80-7d73-b7ca-0ee1dce8c4be','discarded','me','2026-03-01T11:06:00.000000Z','2026-03-01T11:06:00.000000Z',2,'{"find":"f3","mass_mg":2897939,"was_mg":2461391}','00000002','2026-03-01T12:36:00.000002Z','{"find:f3":"019ca960-8140-7133-8049-e2fa91362376"}','');
INSERT INTO "event" VALUES('019ca965-ff80-7d73-b7ca-0ee1fa47a562','quoted','me','2026-03-01T11:07:00.000000Z','2026-03-01T11:07:00.000000Z',3,'{"buyer":"depot","from_mg":22679618,"grade":"copper-2","minimum_mg":0,"on":"2026-03-01","price":"0.088712","said":"no 2 copper 4.10","unit":"lb"}','00000002','2026-03-01T12:36:00.000003Z','{}','000a3c57-8951-5fa8-9300-edf82bd91109');
INSERT INTO "event" VALUES('019ca965-ff80-7d73-b7ca-0ee2b0765183','binned','me','2026-03-01T05:00:00.000000Z','2026-03-01T11:12:00.000000Z',2,'{"bin":"crate","capacity_l":null,"grade":"copper-2","name":""}','00000002','2026-03-01T05:00:00.000000Z','{"bin:crate":"019ca965-ff80-7d73-b7ca-0ee2b0765183"}','');
INSERT INTO "event" VALUES('019ca965-ff80-7d73-b7ca-0ee3676e5dc7','ticketed','me','2026-03-01T05:00:00.000000Z','2026-03-01T11:12:00.000000Z',2,'{"buyer":"depot","deductions":[{"amount":"824.55","what":"moisture"}],"haul":null,"lines":[{"amount":"-237.83","bin":"bucket","grade":"light-iron","mass_mg":1097910,"own_mg":1927110,"price":"4.10","unit":"lb"},{"amount":"17182.943590","bin":"crate","grade":"motors","mass_mg":815661,"own_mg":988506,"price":"4.10","unit":"lb"}],"number":"","ticket":"t9","total":"16120.563590"}','00000002','2026-03-01T05:00:00.000001Z','{"bin:bucket":"019ca965-ff80-7b92-a470-4a62ae02af2f","bin:crate":"019ca965-ff80-7d73-b7ca-0ee2b0765183","ticket:t9":"019ca965-ff80-7d73-b7ca-0ee3676e5dc7"}','');
INSERT INTO "event" VALUES('019ca965-ff80-7d73-b7ca-0ee3f0fc5ecd','binned','me','2026-03-01T11:13:00.000000Z','2026-03-01T11:13:00.000000Z',2,'{"bin":"shelf","capacity_l":null,"grade":"motors","name":""}','00000002','2026-03-01T12:36:00.000004Z','{"bin:shelf":"019ca965-ff80-7d73-b7ca-0ee3f0fc5ecd"}','');
INSERT INTO "event" VALUES('019ca965-ff80-7d73-b7ca-0ee472f73594','moved','me','2026-03-01T11:13:00.000000Z','2026-03-01T11:13:00.000000Z',2,'{"bin":"crate","grade":"light-iron","mass_mg":3733913,"to_bin":"shelf","to_grade":"motors"}','00000002','2026-03-01T12:36:00.000005Z','{"bin:crate":"019ca965-ff80-7d73-b7ca-0ee2b0765183","bin:shelf":"019ca965-ff80-7d73-b7ca-0ee3f0fc5ecd"}','');
INSERT INTO "event" VALUES('019ca965-ff80-7d73-b7ca-0ee4ba480463','binned','me','2026-03-01T11:14:00.000000Z','2026-03-01T11:14:00.000000Z',2,'{"bin":"bucket","capacity_l":"7.5","grade":"light-iron","name":"by the door"}','00000002','2026-03-01T12:36:00.000006Z','{"bin:bucket":"019ca965-ff80-7b92-a470-4a62ae02af2f"}','');
INSERT INTO "event" VALUES('019ca988-c9c0-72ef-98f4-c430af58e7bd','described','me','2026-03-01T13:14:00.000000Z','2026-03-01T13:14:00.000000Z',2,'{"anatomy":"[[anatomy]]\nkind = \"toy\"\n[[anatomy.piece]]\nid = \"whole\"\nmass_kg = 1\n","kind":"toy"}','00000002','2026-03-01T13:14:00.000000Z','{}','');
INSERT INTO "event" VALUES('019ca9b5-a620-74a2-8e3e-4dfcbc7acc55','moved','me','2026-03-01T14:03:00.000000Z','2026-03-01T14:03:00.000000Z',2,'{"bin":"drum","grade":"light-iron","mass_mg":3722387,"to_bin":"drum","to_grade":"motors"}','00000001','2026-03-01T14:03:00.000000Z','{"bin:drum":"019ca8d9-01c0-7e79-9d33-2f593f983226"}','');
INSERT INTO "event" VALUES('019ca9b5-a620-74a2-8e3e-4dfcf2de29a4','quoted','me','2026-03-01T12:33:00.000000Z','2026-03-01T12:33:00.000000Z',3,'{"buyer":"depot","from_mg":0,"grade":"copper-2","minimum_mg":0,"on":"2026-03-01","price":"40.965","said":"no 2 copper 4.10","unit":"lb"}','00000001','2026-03-01T14:03:00.000001Z','{}','0b178a9c-84e1-5dfb-bf68-5fb917dd6f95');
INSERT INTO "event" VALUES('019ca9b5-a620-74a2-8e3e-4dfdb2df1478','described','me','2026-03-01T12:38:00.000000Z','2026-03-01T12:38:00.000000Z',2,'{"anatomy":"[[anatomy]]\nkind = \"toy\"\n[[anatomy.piece]]\nid = \"whole\"\nmass_kg = 1\n","kind":"toy"}','00000001','2026-03-01T14:03:00.000002Z','{}','');
INSERT INTO "event" VALUES('019ca9b5-a620-74a2-8e3e-4dfe7ce3dcff','binned','me','2026-03-01T11:08:00.000000Z','2026-03-01T11:08:00.000000Z',2,'{"bin":"shelf","capacity_l":null,"grade":"motors","name":""}','00000001','2026-03-01T14:03:00.000003Z','{"bin:shelf":"019ca9b5-a620-74a2-8e3e-4dfe7ce3dcff"}','');
INSERT INTO "event" VALUES('019ca9b5-a620-74a2-8e3e-4dff3ccd53b1','binned','me','2026-03-01T11:08:00.000000Z','2026-03-01T11:08:00.000000Z',2,'{"bin":"shelf","capacity_l":"7.5","grade":"light-iron","name":"by the door"}','00000001','2026-03-01T14:03:00.000004Z','{"bin:shelf":"019ca9b5-a620-74a2-8e3e-4dfe7ce3dcff"}','');
INSERT INTO "event" VALUES('019ca9b5-a620-74a2-8e3e-4dffc1078407','found','me','2026-03-01T11:09:00.000000Z','2026-03-01T11:09:00.000000Z',3,'{"count":1,"find":"f12","kind":"desktop-pc","mass_mg":1386870,"note":"","photo":"","source":"curb","works":"no"}','00000001','2026-03-01T14:03:00.000005Z','{"find:f12":"019ca9b5-a620-74a2-8e3e-4dffc1078407"}','2ae7e3e3-c8aa-5ab0-9af1-cbe1a17b7d34');
INSERT INTO "event" VALUES('019ca9b5-a620-74a2-8e3e-4dffed8cfe44','opened','me','2026-03-01T07:00:00.000000Z','2026-03-01T09:39:00.000000Z',2,'{"answers":[{"answer":"white","count":3,"piece":"piece0"}],"closes":false,"find":"f12","loss_mg":24963,"minutes":55,"pieces":[{"bin":"drum","count":3,"grade":"light-iron","mass_mg":492772,"piece":"piece0"},{"bin":"bucket","count":2,"grade":"light-iron","mass_mg":1072379,"piece":"piece1"}],"residue_mg":14755,"runs":[{"operation":"open","piece":"whole","times":1}],"was_mg":1386870}','00000001','2026-03-01T07:00:00.000000Z','{"bin:bucket":"019ca8d9-01c0-7e79-9d33-2f584dacd708","bin:drum":"019ca8d9-01c0-7e79-9d33-2f593f983226","find:f12":"019ca9b5-a620-74a2-8e3e-4dffc1078407"}','');
INSERT INTO "event" VALUES('019ca9b5-a620-74a2-8e3e-4e009a08fd0a','opened','me','2026-03-01T08:09:00.000000Z','2026-03-01T08:09:00.000000Z',2,'{"closes":false,"find":"f12","loss_mg":13395,"minutes":77,"pieces":[],"residue_mg":203552,"runs":[{"operation":"open","piece":"whole","times":1}],"was_mg":0}','00000001','2026-03-01T14:03:00.000006Z','{"find:f12":"019ca9b5-a620-74a2-8e3e-4dffc1078407"}','');
INSERT INTO "event" VALUES('019ca9b5-a620-74a2-8e3e-4e00ad0a5513','recounted','me','2026-03-01T13:15:00.000000Z','2026-03-01T13:15:00.000000Z',2,'{"bin":"crate","grade":"motors","mass_mg":33309127,"opening":false,"was_mg":-988506}','00000002','2026-03-01T13:15:00.000000Z','{"bin:crate":"019ca965-ff80-7d73-b7ca-0ee2b0765183"}','');
INSERT INTO "event" VALUES('019ca9b5-a620-74a2-8e3e-4e010c7fc6d5','corrected','me','2026-03-01T06:00:00.000000Z','2026-03-01T08:10:00.000000Z',2,'{"event":"019ca8d7-2d00-7fb4-ad64-08a574858232","instead":null,"why":"slip of the thumb"}','00000001','2026-03-01T06:00:00.000000Z','{}','');
INSERT INTO "event" VALUES('01a22ba6-d1fc-7061-b0ca-b0200ace8541','found','phone','2026-03-20T08:00:00.000000Z','2026-03-20T08:00:00.000000Z',3,'{"count":1,"find":"noted-0","kind":"fan","mass_mg":1000,"note":"","photo":"","source":"","works":"unknown"}','4de94e43','2026-03-20T08:00:00.000000Z','{"find:noted-0":"01a22ba6-d1fc-7061-b0ca-b0200ace8541"}','019d0a43-0e60-7622-91e5-cf9e7dfcc500');
INSERT INTO "event" VALUES('01a22ba6-d219-718a-9697-301e285b12f7','found','phone','2026-03-20T08:01:00.000000Z','2026-03-20T08:01:00.000000Z',3,'{"count":1,"find":"noted-1","kind":"kettle","mass_mg":1001,"note":"","photo":"","source":"","works":"unknown"}','4de94e43','2026-03-20T08:01:00.000000Z','{"find:noted-1":"01a22ba6-d219-718a-9697-301e285b12f7"}','019d0a43-0e60-7622-91e5-cf9e7dfcc501');
CREATE TABLE fact (
	event TEXT NOT NULL, 
	subject TEXT NOT NULL, 
	name TEXT NOT NULL, 
	value TEXT NOT NULL, 
	happened TEXT NOT NULL, 
	"order" TEXT NOT NULL, 
	live BOOLEAN NOT NULL, 
	FOREIGN KEY(event) REFERENCES event (id)
);
INSERT INTO "fact" VALUES('019ca86a-3a60-7000-8000-0000000cad57','buyer:harbour','terms','{"at":["30.65","-40.57"],"buyer":"harbour","kind":"yard","km":"14.0","minutes":5,"name":"harbour yard","note":"","phone":"+1 (555) 0142 ext 7","refuses":["li-ion"],"shipping":[{"cost":"17.00","up_to_mg":20000000}]}','2026-03-01T08:00:00.000000Z','2026-03-01T08:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca86b-24c0-7000-8000-000000077a06','ticket:t2','printed','{"buyer":"depot","deductions":[{"amount":"57.741","what":"moisture"}],"haul":null,"lines":[{"amount":"77984.92","bin":"drum","grade":"copper-2","mass_mg":149538,"own_mg":149538,"price":"4.10","unit":"lb"}],"number":"","ticket":"t2","total":"77927.179"}','2026-03-01T08:20:00.000000Z','2026-03-01T08:20:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca86c-0f20-7000-8000-00000008e6b5','rule:curbside','here','{"card":"curbside","says":"no cash","seen":"2025-03-27","source":"notice, at the yard"}','2026-03-01T09:00:00.000000Z','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca86c-f980-7000-8000-00000007596c','round:r4','status','ended','2026-03-01T08:40:00.000000Z','2026-03-01T08:40:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca86c-f980-7000-8000-00000007596c','round:r4','where','the quay','2026-03-01T08:40:00.000000Z','2026-03-01T08:40:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca86c-f980-7000-8000-00000007596c','round:r4','minutes','10','2026-03-01T08:40:00.000000Z','2026-03-01T08:40:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca86c-f980-7000-8000-00000007596c','round:r4','km','927.74','2026-03-01T08:40:00.000000Z','2026-03-01T08:40:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca86c-f980-7000-8000-00000007596c','round:r4','left','["a sofa bed"]','2026-03-01T08:40:00.000000Z','2026-03-01T08:40:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca86d-e3e0-7000-8000-000000094f13','find:f5','kind','fan','2026-03-01T08:00:00.000000Z','2026-03-01T08:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca86d-e3e0-7000-8000-000000094f13','find:f5','count','3','2026-03-01T08:00:00.000000Z','2026-03-01T08:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca86d-e3e0-7000-8000-000000094f13','find:f5','works','no','2026-03-01T08:00:00.000000Z','2026-03-01T08:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca86d-e3e0-7000-8000-000000094f13','find:f5','source','curb','2026-03-01T08:00:00.000000Z','2026-03-01T08:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca86d-e3e0-7000-8000-000000094f13','find:f5','found','2026-03-01T08:00:00.000000Z','2026-03-01T08:00:00.000000Z','2026-03-01T08:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca86f-b8a0-7000-8000-000000025654','rule:payment','here','{"card":"payment","says":"by cheque","seen":"2025-03-04","source":"notice, at the yard"}','2026-03-01T09:00:00.000000Z','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca871-8d60-7000-8000-000000061a16','find:f5','closed','yes','2026-03-01T09:00:00.000000Z','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca872-77c0-7000-8000-0000000d76d4','bin:shelf','grade','copper-2','2026-03-01T09:00:00.000000Z','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca872-77c0-7000-8000-0000000d76d4','bin:shelf','name','by the door','2026-03-01T09:00:00.000000Z','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca872-77c0-7000-8000-0000000d76d4','bin:shelf','capacity_l','7.5','2026-03-01T09:00:00.000000Z','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca873-6220-7000-8000-0000000335ed','find:f11','kind','fan','2026-03-01T09:00:00.000000Z','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca873-6220-7000-8000-0000000335ed','find:f11','count','1','2026-03-01T09:00:00.000000Z','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca873-6220-7000-8000-0000000335ed','find:f11','works','yes','2026-03-01T09:00:00.000000Z','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca873-6220-7000-8000-0000000335ed','find:f11','source','curb','2026-03-01T09:00:00.000000Z','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca873-6220-7000-8000-0000000335ed','find:f11','found','2026-03-01T09:00:00.000000Z','2026-03-01T09:00:00.000000Z','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca874-4c80-7000-8000-0000000c5b81','quote:depot:light-iron:0','heard','{"buyer":"depot","from_mg":0,"grade":"light-iron","minimum_mg":0,"on":"2026-03-01","price":"578.73","said":"no 2 copper 4.10","unit":"lb"}','2026-03-01T08:40:00.000000Z','2026-03-01T08:40:00.000000Z',0);
INSERT INTO "fact" VALUES('019ca876-2140-7000-8000-0000000f7aab','haul:h1','status','started','2026-03-01T08:20:00.000000Z','2026-03-01T08:20:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca876-2140-7000-8000-0000000f7aab','haul:h1','stops','["harbour","ridge"]','2026-03-01T08:20:00.000000Z','2026-03-01T08:20:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca877-0ba0-7000-8000-00000005d9b9','haul:h1','status','finished','2026-03-01T09:00:00.000000Z','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca877-0ba0-7000-8000-00000005d9b9','haul:h1','stops','["harbour"]','2026-03-01T09:00:00.000000Z','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca877-0ba0-7000-8000-00000005d9b9','haul:h1','km','31.5','2026-03-01T09:00:00.000000Z','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca877-0ba0-7000-8000-00000005d9b9','haul:h1','minutes','232','2026-03-01T09:00:00.000000Z','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca878-e060-7000-8000-000000059d26','find:f11','closed','yes','2026-03-01T08:40:00.000000Z','2026-03-01T08:40:00.000000Z',0);
INSERT INTO "fact" VALUES('019ca879-cac0-7000-8000-0000000087c7','quote:ridge:copper-2:0','heard','{"buyer":"ridge","from_mg":0,"grade":"copper-2","minimum_mg":0,"on":"2026-03-01","price":"62.822","said":"no 2 copper 4.10","unit":"lb"}','2026-03-01T08:20:00.000000Z','2026-03-01T08:20:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca87b-9f80-7000-8000-00000002f33c','haul:h2','status','started','2026-03-01T08:20:00.000000Z','2026-03-01T08:20:00.000000Z',0);
INSERT INTO "fact" VALUES('019ca87b-9f80-7000-8000-00000002f33c','haul:h2','stops','["harbour","ridge"]','2026-03-01T08:20:00.000000Z','2026-03-01T08:20:00.000000Z',0);
INSERT INTO "fact" VALUES('019ca87c-89e0-7000-8000-0000000e693b','haul:h2','status','finished','2026-03-01T08:20:00.000000Z','2026-03-01T08:20:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca87c-89e0-7000-8000-0000000e693b','haul:h2','stops','["harbour"]','2026-03-01T08:20:00.000000Z','2026-03-01T08:20:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca87c-89e0-7000-8000-0000000e693b','haul:h2','km','31.5','2026-03-01T08:20:00.000000Z','2026-03-01T08:20:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca87c-89e0-7000-8000-0000000e693b','haul:h2','minutes','271','2026-03-01T08:20:00.000000Z','2026-03-01T08:20:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca87d-7440-7000-8000-0000000112c6','find:f11','closed','yes','2026-03-01T08:40:00.000000Z','2026-03-01T08:40:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca87e-5ea0-7000-8000-00000009f43a','find:f11','works','no','2026-03-01T08:00:00.000000Z','2026-03-01T08:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca87f-4900-7000-8000-000000016c41','quote:ridge:motors:0','heard','{"buyer":"ridge","from_mg":0,"grade":"motors","minimum_mg":0,"on":"2026-03-01","price":null,"said":"no 2 copper 4.10","unit":"lb"}','2026-03-01T08:40:00.000000Z','2026-03-01T08:40:00.000000Z',0);
INSERT INTO "fact" VALUES('019ca880-3360-7000-8000-000000027c44','find:f11','closed','yes','2026-03-01T09:00:00.000000Z','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca881-1dc0-7000-8000-0000000065f7','find:f26','kind','desktop-pc','2026-03-01T09:00:00.000000Z','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca881-1dc0-7000-8000-0000000065f7','find:f26','count','3','2026-03-01T09:00:00.000000Z','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca881-1dc0-7000-8000-0000000065f7','find:f26','works','no','2026-03-01T09:00:00.000000Z','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca881-1dc0-7000-8000-0000000065f7','find:f26','source','curb','2026-03-01T09:00:00.000000Z','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca881-1dc0-7000-8000-0000000065f7','find:f26','found','2026-03-01T09:00:00.000000Z','2026-03-01T09:00:00.000000Z','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca882-f280-7000-8000-00000002ae58','setting:bench','value','15','2026-03-01T09:00:00.000000Z','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca86a-3a60-745f-a32c-c5b953a079f0','rule:payment','here','{"card":"payment","says":"by cheque","seen":"2025-03-30","source":"notice, at the yard"}','2026-03-01T08:01:00.000000Z','2026-03-01T08:01:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca8d7-2d00-7fb4-ad64-08a5998d3670','quote:harbour:copper-2:0','heard','{"buyer":"harbour","from_mg":0,"grade":"copper-2","minimum_mg":0,"on":"2026-03-01","price":"0.084011","said":"no 2 copper 4.10","unit":"lb"}','2026-03-01T08:30:00.000000Z','2026-03-01T10:00:00.000001Z',1);
INSERT INTO "fact" VALUES('019ca8d8-1760-7ee5-849c-c1f7b8d5d780','find:f1','kind','desktop-pc','2026-03-01T10:01:00.000000Z','2026-03-01T10:01:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca8d8-1760-7ee5-849c-c1f7b8d5d780','find:f1','count','2','2026-03-01T10:01:00.000000Z','2026-03-01T10:01:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca8d8-1760-7ee5-849c-c1f7b8d5d780','find:f1','works','no','2026-03-01T10:01:00.000000Z','2026-03-01T10:01:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca8d8-1760-7ee5-849c-c1f7b8d5d780','find:f1','source','curb','2026-03-01T10:01:00.000000Z','2026-03-01T10:01:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca8d8-1760-7ee5-849c-c1f7b8d5d780','find:f1','found','2026-03-01T10:01:00.000000Z','2026-03-01T10:01:00.000000Z','2026-03-01T10:01:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca8d9-01c0-7e79-9d33-2f584dacd708','bin:bucket','grade','light-iron','2026-03-01T10:02:00.000000Z','2026-03-01T10:02:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca8d9-01c0-7e79-9d33-2f584dacd708','bin:bucket','name','','2026-03-01T10:02:00.000000Z','2026-03-01T10:02:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca8d9-01c0-7e79-9d33-2f584dacd708','bin:bucket','capacity_l','','2026-03-01T10:02:00.000000Z','2026-03-01T10:02:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca8d9-01c0-7e79-9d33-2f593f983226','bin:drum~983226','grade','copper-2','2026-03-01T10:02:00.000000Z','2026-03-01T10:02:00.000001Z',1);
INSERT INTO "fact" VALUES('019ca8d9-01c0-7e79-9d33-2f593f983226','bin:drum~983226','name','','2026-03-01T10:02:00.000000Z','2026-03-01T10:02:00.000001Z',1);
INSERT INTO "fact" VALUES('019ca8d9-01c0-7e79-9d33-2f593f983226','bin:drum~983226','capacity_l','','2026-03-01T10:02:00.000000Z','2026-03-01T10:02:00.000001Z',1);
INSERT INTO "fact" VALUES('019ca8d9-ec20-7f63-bb44-5a3c01a84bf5','find:f5~a84bf5','kind','desktop-pc','2026-03-01T10:03:00.000000Z','2026-03-01T10:03:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca8d9-ec20-7f63-bb44-5a3c01a84bf5','find:f5~a84bf5','count','1','2026-03-01T10:03:00.000000Z','2026-03-01T10:03:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca8d9-ec20-7f63-bb44-5a3c01a84bf5','find:f5~a84bf5','works','unknown','2026-03-01T10:03:00.000000Z','2026-03-01T10:03:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca8d9-ec20-7f63-bb44-5a3c01a84bf5','find:f5~a84bf5','source','curb','2026-03-01T10:03:00.000000Z','2026-03-01T10:03:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca8d9-ec20-7f63-bb44-5a3c01a84bf5','find:f5~a84bf5','found','2026-03-01T10:03:00.000000Z','2026-03-01T10:03:00.000000Z','2026-03-01T10:03:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca947-c920-7fd4-ae2e-5eb0a21552f3','find:f1','closed','yes','2026-03-01T12:03:00.000000Z','2026-03-01T12:03:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca960-8140-7133-8049-e2fa91362376','find:f3','kind','bread-machine','2026-03-01T12:30:00.000000Z','2026-03-01T12:30:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca960-8140-7133-8049-e2fa91362376','find:f3','count','1','2026-03-01T12:30:00.000000Z','2026-03-01T12:30:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca960-8140-7133-8049-e2fa91362376','find:f3','works','no','2026-03-01T12:30:00.000000Z','2026-03-01T12:30:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca960-8140-7133-8049-e2fa91362376','find:f3','source','curb','2026-03-01T12:30:00.000000Z','2026-03-01T12:30:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca960-8140-7133-8049-e2fa91362376','find:f3','found','2026-03-01T12:30:00.000000Z','2026-03-01T12:30:00.000000Z','2026-03-01T12:30:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca965-1520-707b-90de-53b4bf4e2653','quote:depot:motors:22679618','heard','{"buyer":"depot","from_mg":22679618,"grade":"motors","minimum_mg":0,"on":"2026-03-01","price":"466.27","said":"no 2 copper 4.10","unit":"lb"}','2026-03-01T12:35:00.000000Z','2026-03-01T12:35:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca965-ff80-7b92-a470-4a62ae02af2f','bin:bucket~02af2f','grade','motors','2026-03-01T12:36:00.000000Z','2026-03-01T12:36:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca965-ff80-7b92-a470-4a62ae02af2f','bin:bucket~02af2f','name','','2026-03-01T12:36:00.000000Z','2026-03-01T12:36:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca965-ff80-7b92-a470-4a62ae02af2f','bin:bucket~02af2f','capacity_l','','2026-03-01T12:36:00.000000Z','2026-03-01T12:36:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca965-ff80-7d73-b7ca-0ee0f08f60d6','bin:bucket~02af2f','grade','motors','2026-03-01T12:36:00.000000Z','2026-03-01T12:36:00.000001Z',1);
INSERT INTO "fact" VALUES('019ca965-ff80-7d73-b7ca-0ee0f08f60d6','bin:bucket~02af2f','name','by the door','2026-03-01T12:36:00.000000Z','2026-03-01T12:36:00.000001Z',1);
INSERT INTO "fact" VALUES('019ca965-ff80-7d73-b7ca-0ee0f08f60d6','bin:bucket~02af2f','capacity_l','7.5','2026-03-01T12:36:00.000000Z','2026-03-01T12:36:00.000001Z',1);
INSERT INTO "fact" VALUES('019ca965-ff80-7d73-b7ca-0ee1dce8c4be','find:f3','closed','yes','2026-03-01T11:06:00.000000Z','2026-03-01T12:36:00.000002Z',1);
INSERT INTO "fact" VALUES('019ca965-ff80-7d73-b7ca-0ee1fa47a562','quote:depot:copper-2:22679618','heard','{"buyer":"depot","from_mg":22679618,"grade":"copper-2","minimum_mg":0,"on":"2026-03-01","price":"0.088712","said":"no 2 copper 4.10","unit":"lb"}','2026-03-01T11:07:00.000000Z','2026-03-01T12:36:00.000003Z',1);
INSERT INTO "fact" VALUES('019ca965-ff80-7d73-b7ca-0ee2b0765183','bin:crate~765183','grade','copper-2','2026-03-01T05:00:00.000000Z','2026-03-01T05:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca965-ff80-7d73-b7ca-0ee2b0765183','bin:crate~765183','name','','2026-03-01T05:00:00.000000Z','2026-03-01T05:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca965-ff80-7d73-b7ca-0ee2b0765183','bin:crate~765183','capacity_l','','2026-03-01T05:00:00.000000Z','2026-03-01T05:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca965-ff80-7d73-b7ca-0ee3676e5dc7','ticket:t9','printed','{"buyer":"depot","deductions":[{"amount":"824.55","what":"moisture"}],"haul":null,"lines":[{"amount":"-237.83","bin":"bucket~02af2f","grade":"light-iron","mass_mg":1097910,"own_mg":1927110,"price":"4.10","unit":"lb"},{"amount":"17182.943590","bin":"crate~765183","grade":"motors","mass_mg":815661,"own_mg":988506,"price":"4.10","unit":"lb"}],"number":"","ticket":"t9","total":"16120.563590"}','2026-03-01T05:00:00.000000Z','2026-03-01T05:00:00.000001Z',1);
INSERT INTO "fact" VALUES('019ca965-ff80-7d73-b7ca-0ee3f0fc5ecd','bin:shelf~fc5ecd','grade','motors','2026-03-01T11:13:00.000000Z','2026-03-01T12:36:00.000004Z',1);
INSERT INTO "fact" VALUES('019ca965-ff80-7d73-b7ca-0ee3f0fc5ecd','bin:shelf~fc5ecd','name','','2026-03-01T11:13:00.000000Z','2026-03-01T12:36:00.000004Z',1);
INSERT INTO "fact" VALUES('019ca965-ff80-7d73-b7ca-0ee3f0fc5ecd','bin:shelf~fc5ecd','capacity_l','','2026-03-01T11:13:00.000000Z','2026-03-01T12:36:00.000004Z',1);
INSERT INTO "fact" VALUES('019ca965-ff80-7d73-b7ca-0ee4ba480463','bin:bucket~02af2f','grade','light-iron','2026-03-01T11:14:00.000000Z','2026-03-01T12:36:00.000006Z',1);
INSERT INTO "fact" VALUES('019ca965-ff80-7d73-b7ca-0ee4ba480463','bin:bucket~02af2f','name','by the door','2026-03-01T11:14:00.000000Z','2026-03-01T12:36:00.000006Z',1);
INSERT INTO "fact" VALUES('019ca965-ff80-7d73-b7ca-0ee4ba480463','bin:bucket~02af2f','capacity_l','7.5','2026-03-01T11:14:00.000000Z','2026-03-01T12:36:00.000006Z',1);
INSERT INTO "fact" VALUES('019ca988-c9c0-72ef-98f4-c430af58e7bd','kind:toy','anatomy','[[anatomy]]
kind = "toy"
[[anatomy.piece]]
id = "whole"
mass_kg = 1
','2026-03-01T13:14:00.000000Z','2026-03-01T13:14:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca9b5-a620-74a2-8e3e-4dfcf2de29a4','quote:depot:copper-2:0','heard','{"buyer":"depot","from_mg":0,"grade":"copper-2","minimum_mg":0,"on":"2026-03-01","price":"40.965","said":"no 2 copper 4.10","unit":"lb"}','2026-03-01T12:33:00.000000Z','2026-03-01T14:03:00.000001Z',1);
INSERT INTO "fact" VALUES('019ca9b5-a620-74a2-8e3e-4dfdb2df1478','kind:toy','anatomy','[[anatomy]]
kind = "toy"
[[anatomy.piece]]
id = "whole"
mass_kg = 1
','2026-03-01T12:38:00.000000Z','2026-03-01T14:03:00.000002Z',1);
INSERT INTO "fact" VALUES('019ca9b5-a620-74a2-8e3e-4dfe7ce3dcff','bin:shelf~e3dcff','grade','motors','2026-03-01T11:08:00.000000Z','2026-03-01T14:03:00.000003Z',1);
INSERT INTO "fact" VALUES('019ca9b5-a620-74a2-8e3e-4dfe7ce3dcff','bin:shelf~e3dcff','name','','2026-03-01T11:08:00.000000Z','2026-03-01T14:03:00.000003Z',1);
INSERT INTO "fact" VALUES('019ca9b5-a620-74a2-8e3e-4dfe7ce3dcff','bin:shelf~e3dcff','capacity_l','','2026-03-01T11:08:00.000000Z','2026-03-01T14:03:00.000003Z',1);
INSERT INTO "fact" VALUES('019ca9b5-a620-74a2-8e3e-4dff3ccd53b1','bin:shelf~e3dcff','grade','light-iron','2026-03-01T11:08:00.000000Z','2026-03-01T14:03:00.000004Z',1);
INSERT INTO "fact" VALUES('019ca9b5-a620-74a2-8e3e-4dff3ccd53b1','bin:shelf~e3dcff','name','by the door','2026-03-01T11:08:00.000000Z','2026-03-01T14:03:00.000004Z',1);
INSERT INTO "fact" VALUES('019ca9b5-a620-74a2-8e3e-4dff3ccd53b1','bin:shelf~e3dcff','capacity_l','7.5','2026-03-01T11:08:00.000000Z','2026-03-01T14:03:00.000004Z',1);
INSERT INTO "fact" VALUES('019ca9b5-a620-74a2-8e3e-4dffc1078407','find:f12','kind','desktop-pc','2026-03-01T11:09:00.000000Z','2026-03-01T14:03:00.000005Z',1);
INSERT INTO "fact" VALUES('019ca9b5-a620-74a2-8e3e-4dffc1078407','find:f12','count','1','2026-03-01T11:09:00.000000Z','2026-03-01T14:03:00.000005Z',1);
INSERT INTO "fact" VALUES('019ca9b5-a620-74a2-8e3e-4dffc1078407','find:f12','works','no','2026-03-01T11:09:00.000000Z','2026-03-01T14:03:00.000005Z',1);
INSERT INTO "fact" VALUES('019ca9b5-a620-74a2-8e3e-4dffc1078407','find:f12','source','curb','2026-03-01T11:09:00.000000Z','2026-03-01T14:03:00.000005Z',1);
INSERT INTO "fact" VALUES('019ca9b5-a620-74a2-8e3e-4dffc1078407','find:f12','found','2026-03-01T11:09:00.000000Z','2026-03-01T11:09:00.000000Z','2026-03-01T14:03:00.000005Z',1);
INSERT INTO "fact" VALUES('01a22ba6-d1fc-7061-b0ca-b0200ace8541','find:noted-0','kind','fan','2026-03-20T08:00:00.000000Z','2026-03-20T08:00:00.000000Z',1);
INSERT INTO "fact" VALUES('01a22ba6-d1fc-7061-b0ca-b0200ace8541','find:noted-0','count','1','2026-03-20T08:00:00.000000Z','2026-03-20T08:00:00.000000Z',1);
INSERT INTO "fact" VALUES('01a22ba6-d1fc-7061-b0ca-b0200ace8541','find:noted-0','works','unknown','2026-03-20T08:00:00.000000Z','2026-03-20T08:00:00.000000Z',1);
INSERT INTO "fact" VALUES('01a22ba6-d1fc-7061-b0ca-b0200ace8541','find:noted-0','found','2026-03-20T08:00:00.000000Z','2026-03-20T08:00:00.000000Z','2026-03-20T08:00:00.000000Z',1);
INSERT INTO "fact" VALUES('01a22ba6-d219-718a-9697-301e285b12f7','find:noted-1','kind','kettle','2026-03-20T08:01:00.000000Z','2026-03-20T08:01:00.000000Z',1);
INSERT INTO "fact" VALUES('01a22ba6-d219-718a-9697-301e285b12f7','find:noted-1','count','1','2026-03-20T08:01:00.000000Z','2026-03-20T08:01:00.000000Z',1);
INSERT INTO "fact" VALUES('01a22ba6-d219-718a-9697-301e285b12f7','find:noted-1','works','unknown','2026-03-20T08:01:00.000000Z','2026-03-20T08:01:00.000000Z',1);
INSERT INTO "fact" VALUES('01a22ba6-d219-718a-9697-301e285b12f7','find:noted-1','found','2026-03-20T08:01:00.000000Z','2026-03-20T08:01:00.000000Z','2026-03-20T08:01:00.000000Z',1);
CREATE TABLE move (
	event TEXT NOT NULL, 
	source TEXT NOT NULL, 
	target TEXT NOT NULL, 
	grade TEXT NOT NULL, 
	mg BIGINT NOT NULL, 
	"order" TEXT NOT NULL, 
	live BOOLEAN NOT NULL, 
	FOREIGN KEY(event) REFERENCES event (id)
);
INSERT INTO "move" VALUES('019ca86b-24c0-7000-8000-000000077a06','bin:drum','buyer:depot','copper-2',149538,'2026-03-01T08:20:00.000000Z',1);
INSERT INTO "move" VALUES('019ca86e-ce40-7000-8000-00000006b601','loss','bin:drum','motors',36570,'2026-03-01T08:20:00.000000Z',1);
INSERT INTO "move" VALUES('019ca870-a300-7000-8000-00000001eaa5','outside','find:f5','',353257,'2026-03-01T08:00:00.000000Z',1);
INSERT INTO "move" VALUES('019ca870-a300-7000-8000-00000001eaa5','find:f5','people','',353257,'2026-03-01T08:00:00.000000Z',1);
INSERT INTO "move" VALUES('019ca873-6220-7000-8000-0000000335ed','outside','find:f11','',5102709,'2026-03-01T09:00:00.000000Z',1);
INSERT INTO "move" VALUES('019ca875-36e0-7000-8000-000000007f0c','loss','bin:drum','copper-2',39256208,'2026-03-01T08:20:00.000000Z',1);
INSERT INTO "move" VALUES('019ca878-e060-7000-8000-000000059d26','find:f11','bin:drum','light-iron',99408,'2026-03-01T08:40:00.000000Z',0);
INSERT INTO "move" VALUES('019ca878-e060-7000-8000-000000059d26','find:f11','bin:drum','copper-2',1074488,'2026-03-01T08:40:00.000000Z',0);
INSERT INTO "move" VALUES('019ca878-e060-7000-8000-000000059d26','find:f11','bin:crate','motors',1477610,'2026-03-01T08:40:00.000000Z',0);
INSERT INTO "move" VALUES('019ca878-e060-7000-8000-000000059d26','find:f11','residue','',134732,'2026-03-01T08:40:00.000000Z',0);
INSERT INTO "move" VALUES('019ca878-e060-7000-8000-000000059d26','find:f11','loss','',27578,'2026-03-01T08:40:00.000000Z',0);
INSERT INTO "move" VALUES('019ca87d-7440-7000-8000-0000000112c6','find:f11','residue','',484225,'2026-03-01T08:40:00.000000Z',1);
INSERT INTO "move" VALUES('019ca87d-7440-7000-8000-0000000112c6','find:f11','loss','',1172,'2026-03-01T08:40:00.000000Z',1);
INSERT INTO "move" VALUES('019ca880-3360-7000-8000-000000027c44','find:f11','residue','',1803496,'2026-03-01T09:00:00.000000Z',1);
INSERT INTO "move" VALUES('019ca881-1dc0-7000-8000-0000000065f7','outside','find:f26','',243816,'2026-03-01T09:00:00.000000Z',1);
INSERT INTO "move" VALUES('019ca882-0820-7000-8000-0000000d51e3','loss','bin:drum','motors',7719895,'2026-03-01T08:40:00.000000Z',1);
INSERT INTO "move" VALUES('019ca884-c740-7000-8000-0000000ff229','outside','find:f26','',24441,'2026-03-01T09:00:00.000000Z',0);
INSERT INTO "move" VALUES('019ca884-c740-7000-8000-0000000ff229','find:f26','people','',268257,'2026-03-01T09:00:00.000000Z',0);
INSERT INTO "move" VALUES('019ca8d8-1760-7ee5-849c-c1f7b8d5d780','outside','find:f1','',8095658,'2026-03-01T10:01:00.000000Z',1);
INSERT INTO "move" VALUES('019ca8d9-01c0-7e79-9d33-2f59531d0fde','bin:drum~983226','bin:bucket','motors',1218888,'2026-03-01T10:02:00.000002Z',1);
INSERT INTO "move" VALUES('019ca8d9-ec20-7f63-bb44-5a3c01a84bf5','outside','find:f5~a84bf5','',3349296,'2026-03-01T10:03:00.000000Z',1);
INSERT INTO "move" VALUES('019ca947-c920-7fd4-ae2e-5eb0a21552f3','find:f1','residue','',8095658,'2026-03-01T12:03:00.000000Z',1);
INSERT INTO "move" VALUES('019ca960-8140-7133-8049-e2fa91362376','outside','find:f3','',2461391,'2026-03-01T12:30:00.000000Z',1);
INSERT INTO "move" VALUES('019ca965-ff80-7d73-b7ca-0ee1dce8c4be','outside','find:f3','',436548,'2026-03-01T12:36:00.000002Z',1);
INSERT INTO "move" VALUES('019ca965-ff80-7d73-b7ca-0ee1dce8c4be','find:f3','residue','',2897939,'2026-03-01T12:36:00.000002Z',1);
INSERT INTO "move" VALUES('019ca965-ff80-7d73-b7ca-0ee3676e5dc7','bin:bucket~02af2f','buyer:depot','light-iron',1097910,'2026-03-01T05:00:00.000001Z',1);
INSERT INTO "move" VALUES('019ca965-ff80-7d73-b7ca-0ee3676e5dc7','bin:bucket~02af2f','loss','light-iron',829200,'2026-03-01T05:00:00.000001Z',1);
INSERT INTO "move" VALUES('019ca965-ff80-7d73-b7ca-0ee3676e5dc7','bin:crate~765183','buyer:depot','motors',815661,'2026-03-01T05:00:00.000001Z',1);
INSERT INTO "move" VALUES('019ca965-ff80-7d73-b7ca-0ee3676e5dc7','bin:crate~765183','loss','motors',172845,'2026-03-01T05:00:00.000001Z',1);
INSERT INTO "move" VALUES('019ca965-ff80-7d73-b7ca-0ee472f73594','bin:crate~765183','regraded','light-iron',3733913,'2026-03-01T12:36:00.000005Z',1);
INSERT INTO "move" VALUES('019ca965-ff80-7d73-b7ca-0ee472f73594','regraded','bin:shelf~fc5ecd','motors',3733913,'2026-03-01T12:36:00.000005Z',1);
INSERT INTO "move" VALUES('019ca9b5-a620-74a2-8e3e-4dfcbc7acc55','bin:drum~983226','regraded','light-iron',3722387,'2026-03-01T14:03:00.000000Z',1);
INSERT INTO "move" VALUES('019ca9b5-a620-74a2-8e3e-4dfcbc7acc55','regraded','bin:drum~983226','motors',3722387,'2026-03-01T14:03:00.000000Z',1);
INSERT INTO "move" VALUES('019ca9b5-a620-74a2-8e3e-4dffc1078407','outside','find:f12','',1386870,'2026-03-01T14:03:00.000005Z',1);
INSERT INTO "move" VALUES('019ca9b5-a620-74a2-8e3e-4dffed8cfe44','outside','find:f12','',217999,'2026-03-01T07:00:00.000000Z',1);
INSERT INTO "move" VALUES('019ca9b5-a620-74a2-8e3e-4dffed8cfe44','find:f12','bin:drum~983226','light-iron',492772,'2026-03-01T07:00:00.000000Z',1);
INSERT INTO "move" VALUES('019ca9b5-a620-74a2-8e3e-4dffed8cfe44','find:f12','bin:bucket','light-iron',1072379,'2026-03-01T07:00:00.000000Z',1);
INSERT INTO "move" VALUES('019ca9b5-a620-74a2-8e3e-4dffed8cfe44','find:f12','residue','',14755,'2026-03-01T07:00:00.000000Z',1);
INSERT INTO "move" VALUES('019ca9b5-a620-74a2-8e3e-4dffed8cfe44','find:f12','loss','',24963,'2026-03-01T07:00:00.000000Z',1);
INSERT INTO "move" VALUES('019ca9b5-a620-74a2-8e3e-4e009a08fd0a','outside','find:f12','',216947,'2026-03-01T14:03:00.000006Z',1);
INSERT INTO "move" VALUES('019ca9b5-a620-74a2-8e3e-4e009a08fd0a','find:f12','residue','',203552,'2026-03-01T14:03:00.000006Z',1);
INSERT INTO "move" VALUES('019ca9b5-a620-74a2-8e3e-4e009a08fd0a','find:f12','loss','',13395,'2026-03-01T14:03:00.000006Z',1);
INSERT INTO "move" VALUES('019ca9b5-a620-74a2-8e3e-4e00ad0a5513','loss','bin:crate~765183','motors',34297633,'2026-03-01T13:15:00.000000Z',1);
INSERT INTO "move" VALUES('01a22ba6-d1fc-7061-b0ca-b0200ace8541','outside','find:noted-0','',1000,'2026-03-20T08:00:00.000000Z',1);
INSERT INTO "move" VALUES('01a22ba6-d219-718a-9697-301e285b12f7','outside','find:noted-1','',1001,'2026-03-20T08:01:00.000000Z',1);
CREATE TABLE photograph (
	digest TEXT NOT NULL, 
	content BLOB NOT NULL, 
	PRIMARY KEY (digest)
);
CREATE TABLE thing (
	subject TEXT NOT NULL, 
	maker TEXT NOT NULL, 
	first TEXT NOT NULL, 
	"key" TEXT NOT NULL, 
	PRIMARY KEY (subject, maker)
)
 WITHOUT ROWID

;
INSERT INTO "thing" VALUES('bin:bucket','019ca8d9-01c0-7e79-9d33-2f584dacd708','019ca8d9-01c0-7e79-9d33-2f584dacd708','bin:bucket');
INSERT INTO "thing" VALUES('bin:bucket','019ca965-ff80-7b92-a470-4a62ae02af2f','019ca965-ff80-7b92-a470-4a62ae02af2f','bin:bucket~02af2f');
INSERT INTO "thing" VALUES('bin:crate','','','bin:crate');
INSERT INTO "thing" VALUES('bin:crate','019ca965-ff80-7d73-b7ca-0ee2b0765183','019ca965-ff80-7d73-b7ca-0ee2b0765183','bin:crate~765183');
INSERT INTO "thing" VALUES('bin:drum','','','bin:drum');
INSERT INTO "thing" VALUES('bin:drum','019ca8d9-01c0-7e79-9d33-2f593f983226','019ca8d9-01c0-7e79-9d33-2f593f983226','bin:drum~983226');
INSERT INTO "thing" VALUES('bin:shelf','','','bin:shelf');
INSERT INTO "thing" VALUES('bin:shelf','019ca965-ff80-7d73-b7ca-0ee3f0fc5ecd','019ca965-ff80-7d73-b7ca-0ee3f0fc5ecd','bin:shelf~fc5ecd');
INSERT INTO "thing" VALUES('bin:shelf','019ca9b5-a620-74a2-8e3e-4dfe7ce3dcff','019ca9b5-a620-74a2-8e3e-4dfe7ce3dcff','bin:shelf~e3dcff');
INSERT INTO "thing" VALUES('find:f1','019ca8d8-1760-7ee5-849c-c1f7b8d5d780','019ca8d8-1760-7ee5-849c-c1f7b8d5d780','find:f1');
INSERT INTO "thing" VALUES('find:f11','','','find:f11');
INSERT INTO "thing" VALUES('find:f12','019ca9b5-a620-74a2-8e3e-4dffc1078407','019ca9b5-a620-74a2-8e3e-4dffc1078407','find:f12');
INSERT INTO "thing" VALUES('find:f26','','','find:f26');
INSERT INTO "thing" VALUES('find:f3','019ca960-8140-7133-8049-e2fa91362376','019ca960-8140-7133-8049-e2fa91362376','find:f3');
INSERT INTO "thing" VALUES('find:f5','','','find:f5');
INSERT INTO "thing" VALUES('find:f5','019ca8d9-ec20-7f63-bb44-5a3c01a84bf5','019ca8d9-ec20-7f63-bb44-5a3c01a84bf5','find:f5~a84bf5');
INSERT INTO "thing" VALUES('find:noted-0','01a22ba6-d1fc-7061-b0ca-b0200ace8541','01a22ba6-d1fc-7061-b0ca-b0200ace8541','find:noted-0');
INSERT INTO "thing" VALUES('find:noted-1','01a22ba6-d219-718a-9697-301e285b12f7','01a22ba6-d219-718a-9697-301e285b12f7','find:noted-1');
INSERT INTO "thing" VALUES('haul:h1','','','haul:h1');
INSERT INTO "thing" VALUES('haul:h2','','','haul:h2');
INSERT INTO "thing" VALUES('round:r4','','','round:r4');
INSERT INTO "thing" VALUES('ticket:t2','','','ticket:t2');
INSERT INTO "thing" VALUES('ticket:t9','019ca965-ff80-7d73-b7ca-0ee3676e5dc7','019ca965-ff80-7d73-b7ca-0ee3676e5dc7','ticket:t9');
CREATE TABLE typed_with (
	event TEXT NOT NULL, 
	device TEXT NOT NULL, 
	PRIMARY KEY (event), 
	FOREIGN KEY(event) REFERENCES event (id)
)
 WITHOUT ROWID

;
CREATE TABLE voided (
	event TEXT NOT NULL, 
	PRIMARY KEY (event), 
	FOREIGN KEY(event) REFERENCES event (id)
)
 WITHOUT ROWID

;
INSERT INTO "voided" VALUES('019ca874-4c80-7000-8000-0000000c5b81');
INSERT INTO "voided" VALUES('019ca878-e060-7000-8000-000000059d26');
INSERT INTO "voided" VALUES('019ca87b-9f80-7000-8000-00000002f33c');
INSERT INTO "voided" VALUES('019ca87f-4900-7000-8000-000000016c41');
INSERT INTO "voided" VALUES('019ca884-c740-7000-8000-0000000ff229');
INSERT INTO "voided" VALUES('019ca885-b1a0-7000-8000-000000065a28');
INSERT INTO "voided" VALUES('019ca8d7-2d00-7fb4-ad64-08a574858232');
CREATE TABLE word (
	subject TEXT NOT NULL, 
	name TEXT NOT NULL, 
	value TEXT NOT NULL, 
	"order" TEXT NOT NULL, 
	event TEXT NOT NULL, 
	PRIMARY KEY (subject, name), 
	FOREIGN KEY(event) REFERENCES event (id)
)
 WITHOUT ROWID

;
INSERT INTO "word" VALUES('bin:bucket','capacity_l','','2026-03-01T10:02:00.000000Z','019ca8d9-01c0-7e79-9d33-2f584dacd708');
INSERT INTO "word" VALUES('bin:bucket','grade','light-iron','2026-03-01T10:02:00.000000Z','019ca8d9-01c0-7e79-9d33-2f584dacd708');
INSERT INTO "word" VALUES('bin:bucket','name','','2026-03-01T10:02:00.000000Z','019ca8d9-01c0-7e79-9d33-2f584dacd708');
INSERT INTO "word" VALUES('bin:bucket~02af2f','capacity_l','7.5','2026-03-01T12:36:00.000006Z','019ca965-ff80-7d73-b7ca-0ee4ba480463');
INSERT INTO "word" VALUES('bin:bucket~02af2f','grade','light-iron','2026-03-01T12:36:00.000006Z','019ca965-ff80-7d73-b7ca-0ee4ba480463');
INSERT INTO "word" VALUES('bin:bucket~02af2f','name','by the door','2026-03-01T12:36:00.000006Z','019ca965-ff80-7d73-b7ca-0ee4ba480463');
INSERT INTO "word" VALUES('bin:crate~765183','capacity_l','','2026-03-01T05:00:00.000000Z','019ca965-ff80-7d73-b7ca-0ee2b0765183');
INSERT INTO "word" VALUES('bin:crate~765183','grade','copper-2','2026-03-01T05:00:00.000000Z','019ca965-ff80-7d73-b7ca-0ee2b0765183');
INSERT INTO "word" VALUES('bin:crate~765183','name','','2026-03-01T05:00:00.000000Z','019ca965-ff80-7d73-b7ca-0ee2b0765183');
INSERT INTO "word" VALUES('bin:drum~983226','capacity_l','','2026-03-01T10:02:00.000001Z','019ca8d9-01c0-7e79-9d33-2f593f983226');
INSERT INTO "word" VALUES('bin:drum~983226','grade','copper-2','2026-03-01T10:02:00.000001Z','019ca8d9-01c0-7e79-9d33-2f593f983226');
INSERT INTO "word" VALUES('bin:drum~983226','name','','2026-03-01T10:02:00.000001Z','019ca8d9-01c0-7e79-9d33-2f593f983226');
INSERT INTO "word" VALUES('bin:shelf','capacity_l','7.5','2026-03-01T09:00:00.000000Z','019ca872-77c0-7000-8000-0000000d76d4');
INSERT INTO "word" VALUES('bin:shelf','grade','copper-2','2026-03-01T09:00:00.000000Z','019ca872-77c0-7000-8000-0000000d76d4');
INSERT INTO "word" VALUES('bin:shelf','name','by the door','2026-03-01T09:00:00.000000Z','019ca872-77c0-7000-8000-0000000d76d4');
INSERT INTO "word" VALUES('bin:shelf~e3dcff','capacity_l','7.5','2026-03-01T14:03:00.000004Z','019ca9b5-a620-74a2-8e3e-4dff3ccd53b1');
INSERT INTO "word" VALUES('bin:shelf~e3dcff','grade','light-iron','2026-03-01T14:03:00.000004Z','019ca9b5-a620-74a2-8e3e-4dff3ccd53b1');
INSERT INTO "word" VALUES('bin:shelf~e3dcff','name','by the door','2026-03-01T14:03:00.000004Z','019ca9b5-a620-74a2-8e3e-4dff3ccd53b1');
INSERT INTO "word" VALUES('bin:shelf~fc5ecd','capacity_l','','2026-03-01T12:36:00.000004Z','019ca965-ff80-7d73-b7ca-0ee3f0fc5ecd');
INSERT INTO "word" VALUES('bin:shelf~fc5ecd','grade','motors','2026-03-01T12:36:00.000004Z','019ca965-ff80-7d73-b7ca-0ee3f0fc5ecd');
INSERT INTO "word" VALUES('bin:shelf~fc5ecd','name','','2026-03-01T12:36:00.000004Z','019ca965-ff80-7d73-b7ca-0ee3f0fc5ecd');
INSERT INTO "word" VALUES('buyer:harbour','terms','{"at":["30.65","-40.57"],"buyer":"harbour","kind":"yard","km":"14.0","minutes":5,"name":"harbour yard","note":"","phone":"+1 (555) 0142 ext 7","refuses":["li-ion"],"shipping":[{"cost":"17.00","up_to_mg":20000000}]}','2026-03-01T08:00:00.000000Z','019ca86a-3a60-7000-8000-0000000cad57');
INSERT INTO "word" VALUES('find:f1','closed','yes','2026-03-01T12:03:00.000000Z','019ca947-c920-7fd4-ae2e-5eb0a21552f3');
INSERT INTO "word" VALUES('find:f1','count','2','2026-03-01T10:01:00.000000Z','019ca8d8-1760-7ee5-849c-c1f7b8d5d780');
INSERT INTO "word" VALUES('find:f1','found','2026-03-01T10:01:00.000000Z','2026-03-01T10:01:00.000000Z','019ca8d8-1760-7ee5-849c-c1f7b8d5d780');
INSERT INTO "word" VALUES('find:f1','kind','desktop-pc','2026-03-01T10:01:00.000000Z','019ca8d8-1760-7ee5-849c-c1f7b8d5d780');
INSERT INTO "word" VALUES('find:f1','source','curb','2026-03-01T10:01:00.000000Z','019ca8d8-1760-7ee5-849c-c1f7b8d5d780');
INSERT INTO "word" VALUES('find:f1','works','no','2026-03-01T10:01:00.000000Z','019ca8d8-1760-7ee5-849c-c1f7b8d5d780');
INSERT INTO "word" VALUES('find:f11','closed','yes','2026-03-01T09:00:00.000000Z','019ca880-3360-7000-8000-000000027c44');
INSERT INTO "word" VALUES('find:f11','count','1','2026-03-01T09:00:00.000000Z','019ca873-6220-7000-8000-0000000335ed');
INSERT INTO "word" VALUES('find:f11','found','2026-03-01T09:00:00.000000Z','2026-03-01T09:00:00.000000Z','019ca873-6220-7000-8000-0000000335ed');
INSERT INTO "word" VALUES('find:f11','kind','fan','2026-03-01T09:00:00.000000Z','019ca873-6220-7000-8000-0000000335ed');
INSERT INTO "word" VALUES('find:f11','source','curb','2026-03-01T09:00:00.000000Z','019ca873-6220-7000-8000-0000000335ed');
INSERT INTO "word" VALUES('find:f11','works','yes','2026-03-01T09:00:00.000000Z','019ca873-6220-7000-8000-0000000335ed');
INSERT INTO "word" VALUES('find:f12','count','1','2026-03-01T14:03:00.000005Z','019ca9b5-a620-74a2-8e3e-4dffc1078407');
INSERT INTO "word" VALUES('find:f12','found','2026-03-01T11:09:00.000000Z','2026-03-01T14:03:00.000005Z','019ca9b5-a620-74a2-8e3e-4dffc1078407');
INSERT INTO "word" VALUES('find:f12','kind','desktop-pc','2026-03-01T14:03:00.000005Z','019ca9b5-a620-74a2-8e3e-4dffc1078407');
INSERT INTO "word" VALUES('find:f12','source','curb','2026-03-01T14:03:00.000005Z','019ca9b5-a620-74a2-8e3e-4dffc1078407');
INSERT INTO "word" VALUES('find:f12','works','no','2026-03-01T14:03:00.000005Z','019ca9b5-a620-74a2-8e3e-4dffc1078407');
INSERT INTO "word" VALUES('find:f26','count','3','2026-03-01T09:00:00.000000Z','019ca881-1dc0-7000-8000-0000000065f7');
INSERT INTO "word" VALUES('find:f26','found','2026-03-01T09:00:00.000000Z','2026-03-01T09:00:00.000000Z','019ca881-1dc0-7000-8000-0000000065f7');
INSERT INTO "word" VALUES('find:f26','kind','desktop-pc','2026-03-01T09:00:00.000000Z','019ca881-1dc0-7000-8000-0000000065f7');
INSERT INTO "word" VALUES('find:f26','source','curb','2026-03-01T09:00:00.000000Z','019ca881-1dc0-7000-8000-0000000065f7');
INSERT INTO "word" VALUES('find:f26','works','no','2026-03-01T09:00:00.000000Z','019ca881-1dc0-7000-8000-0000000065f7');
INSERT INTO "word" VALUES('find:f3','closed','yes','2026-03-01T12:36:00.000002Z','019ca965-ff80-7d73-b7ca-0ee1dce8c4be');
INSERT INTO "word" VALUES('find:f3','count','1','2026-03-01T12:30:00.000000Z','019ca960-8140-7133-8049-e2fa91362376');
INSERT INTO "word" VALUES('find:f3','found','2026-03-01T12:30:00.000000Z','2026-03-01T12:30:00.000000Z','019ca960-8140-7133-8049-e2fa91362376');
INSERT INTO "word" VALUES('find:f3','kind','bread-machine','2026-03-01T12:30:00.000000Z','019ca960-8140-7133-8049-e2fa91362376');
INSERT INTO "word" VALUES('find:f3','source','curb','2026-03-01T12:30:00.000000Z','019ca960-8140-7133-8049-e2fa91362376');
INSERT INTO "word" VALUES('find:f3','works','no','2026-03-01T12:30:00.000000Z','019ca960-8140-7133-8049-e2fa91362376');
INSERT INTO "word" VALUES('find:f5','closed','yes','2026-03-01T09:00:00.000000Z','019ca871-8d60-7000-8000-000000061a16');
INSERT INTO "word" VALUES('find:f5','count','3','2026-03-01T08:00:00.000000Z','019ca86d-e3e0-7000-8000-000000094f13');
INSERT INTO "word" VALUES('find:f5','found','2026-03-01T08:00:00.000000Z','2026-03-01T08:00:00.000000Z','019ca86d-e3e0-7000-8000-000000094f13');
INSERT INTO "word" VALUES('find:f5','kind','fan','2026-03-01T08:00:00.000000Z','019ca86d-e3e0-7000-8000-000000094f13');
INSERT INTO "word" VALUES('find:f5','source','curb','2026-03-01T08:00:00.000000Z','019ca86d-e3e0-7000-8000-000000094f13');
INSERT INTO "word" VALUES('find:f5','works','no','2026-03-01T08:00:00.000000Z','019ca86d-e3e0-7000-8000-000000094f13');
INSERT INTO "word" VALUES('find:f5~a84bf5','count','1','2026-03-01T10:03:00.000000Z','019ca8d9-ec20-7f63-bb44-5a3c01a84bf5');
INSERT INTO "word" VALUES('find:f5~a84bf5','found','2026-03-01T10:03:00.000000Z','2026-03-01T10:03:00.000000Z','019ca8d9-ec20-7f63-bb44-5a3c01a84bf5');
INSERT INTO "word" VALUES('find:f5~a84bf5','kind','desktop-pc','2026-03-01T10:03:00.000000Z','019ca8d9-ec20-7f63-bb44-5a3c01a84bf5');
INSERT INTO "word" VALUES('find:f5~a84bf5','source','curb','2026-03-01T10:03:00.000000Z','019ca8d9-ec20-7f63-bb44-5a3c01a84bf5');
INSERT INTO "word" VALUES('find:f5~a84bf5','works','unknown','2026-03-01T10:03:00.000000Z','019ca8d9-ec20-7f63-bb44-5a3c01a84bf5');
INSERT INTO "word" VALUES('find:noted-0','count','1','2026-03-20T08:00:00.000000Z','01a22ba6-d1fc-7061-b0ca-b0200ace8541');
INSERT INTO "word" VALUES('find:noted-0','found','2026-03-20T08:00:00.000000Z','2026-03-20T08:00:00.000000Z','01a22ba6-d1fc-7061-b0ca-b0200ace8541');
INSERT INTO "word" VALUES('find:noted-0','kind','fan','2026-03-20T08:00:00.000000Z','01a22ba6-d1fc-7061-b0ca-b0200ace8541');
INSERT INTO "word" VALUES('find:noted-0','works','unknown','2026-03-20T08:00:00.000000Z','01a22ba6-d1fc-7061-b0ca-b0200ace8541');
INSERT INTO "word" VALUES('find:noted-1','count','1','2026-03-20T08:01:00.000000Z','01a22ba6-d219-718a-9697-301e285b12f7');
INSERT INTO "word" VALUES('find:noted-1','found','2026-03-20T08:01:00.000000Z','2026-03-20T08:01:00.000000Z','01a22ba6-d219-718a-9697-301e285b12f7');
INSERT INTO "word" VALUES('find:noted-1','kind','kettle','2026-03-20T08:01:00.000000Z','01a22ba6-d219-718a-9697-301e285b12f7');
INSERT INTO "word" VALUES('find:noted-1','works','unknown','2026-03-20T08:01:00.000000Z','01a22ba6-d219-718a-9697-301e285b12f7');
INSERT INTO "word" VALUES('haul:h1','km','31.5','2026-03-01T09:00:00.000000Z','019ca877-0ba0-7000-8000-00000005d9b9');
INSERT INTO "word" VALUES('haul:h1','minutes','232','2026-03-01T09:00:00.000000Z','019ca877-0ba0-7000-8000-00000005d9b9');
INSERT INTO "word" VALUES('haul:h1','status','finished','2026-03-01T09:00:00.000000Z','019ca877-0ba0-7000-8000-00000005d9b9');
INSERT INTO "word" VALUES('haul:h1','stops','["harbour"]','2026-03-01T09:00:00.000000Z','019ca877-0ba0-7000-8000-00000005d9b9');
INSERT INTO "word" VALUES('haul:h2','km','31.5','2026-03-01T08:20:00.000000Z','019ca87c-89e0-7000-8000-0000000e693b');
INSERT INTO "word" VALUES('haul:h2','minutes','271','2026-03-01T08:20:00.000000Z','019ca87c-89e0-7000-8000-0000000e693b');
INSERT INTO "word" VALUES('haul:h2','status','finished','2026-03-01T08:20:00.000000Z','019ca87c-89e0-7000-8000-0000000e693b');
INSERT INTO "word" VALUES('haul:h2','stops','["harbour"]','2026-03-01T08:20:00.000000Z','019ca87c-89e0-7000-8000-0000000e693b');
INSERT INTO "word" VALUES('kind:toy','anatomy','[[anatomy]]
kind = "toy"
[[anatomy.piece]]
id = "whole"
mass_kg = 1
','2026-03-01T14:03:00.000002Z','019ca9b5-a620-74a2-8e3e-4dfdb2df1478');
INSERT INTO "word" VALUES('quote:depot:copper-2:0','heard','{"buyer":"depot","from_mg":0,"grade":"copper-2","minimum_mg":0,"on":"2026-03-01","price":"40.965","said":"no 2 copper 4.10","unit":"lb"}','2026-03-01T14:03:00.000001Z','019ca9b5-a620-74a2-8e3e-4dfcf2de29a4');
INSERT INTO "word" VALUES('quote:depot:copper-2:22679618','heard','{"buyer":"depot","from_mg":22679618,"grade":"copper-2","minimum_mg":0,"on":"2026-03-01","price":"0.088712","said":"no 2 copper 4.10","unit":"lb"}','2026-03-01T12:36:00.000003Z','019ca965-ff80-7d73-b7ca-0ee1fa47a562');
INSERT INTO "word" VALUES('quote:depot:motors:22679618','heard','{"buyer":"depot","from_mg":22679618,"grade":"motors","minimum_mg":0,"on":"2026-03-01","price":"466.27","said":"no 2 copper 4.10","unit":"lb"}','2026-03-01T12:35:00.000000Z','019ca965-1520-707b-90de-53b4bf4e2653');
INSERT INTO "word" VALUES('quote:harbour:copper-2:0','heard','{"buyer":"harbour","from_mg":0,"grade":"copper-2","minimum_mg":0,"on":"2026-03-01","price":"0.084011","said":"no 2 copper 4.10","unit":"lb"}','2026-03-01T10:00:00.000001Z','019ca8d7-2d00-7fb4-ad64-08a5998d3670');
INSERT INTO "word" VALUES('quote:ridge:copper-2:0','heard','{"buyer":"ridge","from_mg":0,"grade":"copper-2","minimum_mg":0,"on":"2026-03-01","price":"62.822","said":"no 2 copper 4.10","unit":"lb"}','2026-03-01T08:20:00.000000Z','019ca879-cac0-7000-8000-0000000087c7');
INSERT INTO "word" VALUES('round:r4','km','927.74','2026-03-01T08:40:00.000000Z','019ca86c-f980-7000-8000-00000007596c');
INSERT INTO "word" VALUES('round:r4','left','["a sofa bed"]','2026-03-01T08:40:00.000000Z','019ca86c-f980-7000-8000-00000007596c');
INSERT INTO "word" VALUES('round:r4','minutes','10','2026-03-01T08:40:00.000000Z','019ca86c-f980-7000-8000-00000007596c');
INSERT INTO "word" VALUES('round:r4','status','ended','2026-03-01T08:40:00.000000Z','019ca86c-f980-7000-8000-00000007596c');
INSERT INTO "word" VALUES('round:r4','where','the quay','2026-03-01T08:40:00.000000Z','019ca86c-f980-7000-8000-00000007596c');
INSERT INTO "word" VALUES('rule:curbside','here','{"card":"curbside","says":"no cash","seen":"2025-03-27","source":"notice, at the yard"}','2026-03-01T09:00:00.000000Z','019ca86c-0f20-7000-8000-00000008e6b5');
INSERT INTO "word" VALUES('rule:payment','here','{"card":"payment","says":"by cheque","seen":"2025-03-04","source":"notice, at the yard"}','2026-03-01T09:00:00.000000Z','019ca86f-b8a0-7000-8000-000000025654');
INSERT INTO "word" VALUES('setting:bench','value','15','2026-03-01T09:00:00.000000Z','019ca882-f280-7000-8000-00000002ae58');
INSERT INTO "word" VALUES('ticket:t2','printed','{"buyer":"depot","deductions":[{"amount":"57.741","what":"moisture"}],"haul":null,"lines":[{"amount":"77984.92","bin":"drum","grade":"copper-2","mass_mg":149538,"own_mg":149538,"price":"4.10","unit":"lb"}],"number":"","ticket":"t2","total":"77927.179"}','2026-03-01T08:20:00.000000Z','019ca86b-24c0-7000-8000-000000077a06');
INSERT INTO "word" VALUES('ticket:t9','printed','{"buyer":"depot","deductions":[{"amount":"824.55","what":"moisture"}],"haul":null,"lines":[{"amount":"-237.83","bin":"bucket~02af2f","grade":"light-iron","mass_mg":1097910,"own_mg":1927110,"price":"4.10","unit":"lb"},{"amount":"17182.943590","bin":"crate~765183","grade":"motors","mass_mg":815661,"own_mg":988506,"price":"4.10","unit":"lb"}],"number":"","ticket":"t9","total":"16120.563590"}','2026-03-01T05:00:00.000001Z','019ca965-ff80-7d73-b7ca-0ee3676e5dc7');
CREATE INDEX event_kind ON event (kind, id);
CREATE INDEX event_happened ON event (happened);
CREATE INDEX entry_event ON entry (event);
CREATE INDEX entry_account ON entry (account);
CREATE INDEX event_device ON event (device, "order");
CREATE INDEX thing_maker ON thing (maker);
CREATE INDEX thing_key ON thing ("key");
CREATE INDEX move_event ON move (event);
CREATE INDEX move_source ON move (source, "order");
CREATE INDEX move_target ON move (target, "order");
CREATE INDEX fact_event ON fact (event);
CREATE INDEX fact_word ON fact (subject, name, "order", event);
CREATE INDEX word_name ON word (name, subject);
CREATE INDEX assertion_place ON assertion (place, grade, "order", event);
CREATE INDEX event_intent ON event (intent) WHERE intent > '';
COMMIT;
