BEGIN TRANSACTION;
CREATE TABLE about (
	subject TEXT NOT NULL, 
	event TEXT NOT NULL, 
	PRIMARY KEY (subject, event), 
	FOREIGN KEY(event) REFERENCES event (id)
)
 WITHOUT ROWID

;
INSERT INTO "about" VALUES('bin:bucket','019ca86c-f980-7000-8000-00000000f3ba');
INSERT INTO "about" VALUES('bin:bucket','019ca879-cac0-7000-8000-000000023683');
INSERT INTO "about" VALUES('bin:bucket~02af2f','019ca965-ff80-7b92-a470-4a62ae02af2f');
INSERT INTO "about" VALUES('bin:bucket~02af2f','019ca965-ff80-7d73-b7ca-0ee0f08f60d6');
INSERT INTO "about" VALUES('bin:bucket~02af2f','019ca966-e9e0-7e9a-a753-aa6aec5963e7');
INSERT INTO "about" VALUES('bin:bucket~acd708','019ca8d9-01c0-7e79-9d33-2f584dacd708');
INSERT INTO "about" VALUES('bin:bucket~acd708','019ca8d9-01c0-7e79-9d33-2f59531d0fde');
INSERT INTO "about" VALUES('bin:bucket~acd708','019ca8da-d680-7fd4-ae2e-5eb441a26ecd');
INSERT INTO "about" VALUES('bin:bucket~acd708','019ca9f7-9120-7300-9301-5808d85c581c');
INSERT INTO "about" VALUES('bin:crate','019ca874-4c80-7000-8000-0000000bcc2f');
INSERT INTO "about" VALUES('bin:crate','019ca87a-b520-7000-8000-00000005a3de');
INSERT INTO "about" VALUES('bin:crate~06865f','019ca966-e9e0-7953-8a63-aeb6fa06865f');
INSERT INTO "about" VALUES('bin:crate~06865f','019ca966-e9e0-7e9a-a753-aa6aec5963e7');
INSERT INTO "about" VALUES('bin:crate~06865f','019ca967-d440-7c48-9d5e-e0a445384089');
INSERT INTO "about" VALUES('bin:crate~945ec2','019ca8da-d680-7fd4-ae2e-5eb4aa945ec2');
INSERT INTO "about" VALUES('bin:crate~945ec2','019ca8da-d680-7fd4-ae2e-5eb4fabf914a');
INSERT INTO "about" VALUES('bin:drum','019ca86b-24c0-7000-8000-000000077a06');
INSERT INTO "about" VALUES('bin:drum','019ca882-f280-7000-8000-0000000c6e12');
INSERT INTO "about" VALUES('bin:drum~69fc6e','019ca967-d440-7c48-9d5e-e0a35769fc6e');
INSERT INTO "about" VALUES('bin:drum~69fc6e','019ca967-d440-7c48-9d5e-e0a445384089');
INSERT INTO "about" VALUES('bin:drum~983226','019ca8d9-01c0-7e79-9d33-2f593f983226');
INSERT INTO "about" VALUES('bin:drum~983226','019ca8d9-01c0-7e79-9d33-2f59531d0fde');
INSERT INTO "about" VALUES('bin:drum~983226','019ca8da-d680-7fd4-ae2e-5eb0a21552f3');
INSERT INTO "about" VALUES('bin:shelf','019ca86e-ce40-7000-8000-00000002c9e2');
INSERT INTO "about" VALUES('bin:shelf','019ca871-8d60-7000-8000-00000006be23');
INSERT INTO "about" VALUES('bin:shelf','019ca87e-5ea0-7000-8000-000000045f13');
INSERT INTO "about" VALUES('bin:shelf','019ca87f-4900-7000-8000-00000004253a');
INSERT INTO "about" VALUES('bin:shelf~7333ca','019ca8da-d680-7fd4-ae2e-5eb1d87333ca');
INSERT INTO "about" VALUES('bin:shelf~7333ca','019ca8da-d680-7fd4-ae2e-5eb2cd72035f');
INSERT INTO "about" VALUES('bin:shelf~7333ca','019ca8da-d680-7fd4-ae2e-5eb441a26ecd');
INSERT INTO "about" VALUES('bin:shelf~7333ca','019ca8da-d680-7fd4-ae2e-5eb4fabf914a');
INSERT INTO "about" VALUES('bin:shelf~80f512','019ca9f6-a6c0-7af5-8750-cece1880f512');
INSERT INTO "about" VALUES('bin:shelf~80f512','019ca9f6-a6c0-7af5-8750-cece20a47a13');
INSERT INTO "about" VALUES('buyer:depot','019ca86b-24c0-7000-8000-000000077a06');
INSERT INTO "about" VALUES('buyer:depot','019ca871-8d60-7000-8000-00000006be23');
INSERT INTO "about" VALUES('buyer:depot','019ca876-2140-7000-8000-000000064a76');
INSERT INTO "about" VALUES('buyer:depot','019ca965-1520-707b-90de-53b4bf4e2653');
INSERT INTO "about" VALUES('buyer:harbour','019ca86a-3a60-7000-8000-0000000cad57');
INSERT INTO "about" VALUES('buyer:harbour','019ca86e-ce40-7000-8000-00000002c9e2');
INSERT INTO "about" VALUES('buyer:harbour','019ca873-6220-7000-8000-000000025947');
INSERT INTO "about" VALUES('buyer:harbour','019ca877-f600-7000-8000-0000000d7751');
INSERT INTO "about" VALUES('buyer:harbour','019ca87b-9f80-7000-8000-00000002f33c');
INSERT INTO "about" VALUES('buyer:harbour','019ca87c-89e0-7000-8000-0000000e693b');
INSERT INTO "about" VALUES('buyer:harbour','019ca880-3360-7000-8000-000000027c44');
INSERT INTO "about" VALUES('buyer:harbour','019ca881-1dc0-7000-8000-0000000fff64');
INSERT INTO "about" VALUES('buyer:harbour','019ca8d7-2d00-7fb4-ad64-08a5998d3670');
INSERT INTO "about" VALUES('buyer:harbour','019ca8da-d680-7fd4-ae2e-5eb4fabf914a');
INSERT INTO "about" VALUES('buyer:harbour','019ca96d-5280-7989-9788-34e30a982001');
INSERT INTO "about" VALUES('buyer:harbour','019ca9db-2f80-796b-9f2e-8b11898e0105');
INSERT INTO "about" VALUES('buyer:harbour','019ca9db-2f80-796b-9f2e-8b1260250ca9');
INSERT INTO "about" VALUES('buyer:ridge','019ca86d-e3e0-7000-8000-000000008a5d');
INSERT INTO "about" VALUES('buyer:ridge','019ca870-a300-7000-8000-000000060740');
INSERT INTO "about" VALUES('buyer:ridge','019ca87b-9f80-7000-8000-00000002f33c');
INSERT INTO "about" VALUES('buyer:ridge','019ca87d-7440-7000-8000-0000000112c6');
INSERT INTO "about" VALUES('buyer:ridge','019ca880-3360-7000-8000-000000027c44');
INSERT INTO "about" VALUES('buyer:ridge','019ca8d7-2d00-7fb4-ad64-08a574858232');
INSERT INTO "about" VALUES('buyer:ridge','019ca9db-2f80-796b-9f2e-8b11898e0105');
INSERT INTO "about" VALUES('context:taps','019ca869-5000-7000-8000-0000000f3973');
INSERT INTO "about" VALUES('context:taps','019ca875-36e0-7000-8000-0000000c5ae8');
INSERT INTO "about" VALUES('context:taps','019ca883-dce0-7000-8000-00000009ed71');
INSERT INTO "about" VALUES('context:taps','019ca8da-d680-7fd4-ae2e-5eb0b53c835a');
INSERT INTO "about" VALUES('context:taps','019ca968-bea0-7b6d-8d31-e20733221e01');
INSERT INTO "about" VALUES('event:019ca874-4c80-7000-8000-0000000bcc2f','019ca888-70c0-7000-8000-0000000c4d28');
INSERT INTO "about" VALUES('event:019ca878-e060-7000-8000-000000074f05','019ca88b-2fe0-7000-8000-000000039c4c');
INSERT INTO "about" VALUES('event:019ca87b-9f80-7000-8000-00000002f33c','019ca889-5b20-7000-8000-000000045b8e');
INSERT INTO "about" VALUES('event:019ca880-3360-7000-8000-000000027c44','019ca887-8660-7000-8000-000000065a28');
INSERT INTO "about" VALUES('event:019ca882-f280-7000-8000-0000000c6e12','019ca886-9c00-7000-8000-00000007ba3c');
INSERT INTO "about" VALUES('event:019ca885-b1a0-7000-8000-000000056d6b','019ca88a-4580-7000-8000-000000014c5e');
INSERT INTO "about" VALUES('event:019ca8d7-2d00-7fb4-ad64-08a574858232','019ca9f6-a6c0-7af5-8750-cecf03b5637c');
INSERT INTO "about" VALUES('find:f1','019ca8d8-1760-7ee5-849c-c1f7b8d5d780');
INSERT INTO "about" VALUES('find:f1','019ca8da-d680-7fd4-ae2e-5eb146fa776f');
INSERT INTO "about" VALUES('find:f11','019ca8da-d680-7fd4-ae2e-5eb2fb2266ff');
INSERT INTO "about" VALUES('find:f11','019ca8da-d680-7fd4-ae2e-5eb35972c457');
INSERT INTO "about" VALUES('find:f3','019ca960-8140-7133-8049-e2fa91362376');
INSERT INTO "about" VALUES('find:f3','019ca966-e9e0-7e9a-a753-aa6aec5963e7');
INSERT INTO "about" VALUES('find:f31','019ca885-b1a0-7000-8000-000000056d6b');
INSERT INTO "about" VALUES('find:f5','019ca8d9-ec20-7f63-bb44-5a3c01a84bf5');
INSERT INTO "about" VALUES('haul:h1','019ca87b-9f80-7000-8000-00000002f33c');
INSERT INTO "about" VALUES('haul:h1','019ca87c-89e0-7000-8000-0000000e693b');
INSERT INTO "about" VALUES('haul:h1~8e0105','019ca9db-2f80-796b-9f2e-8b11898e0105');
INSERT INTO "about" VALUES('haul:h1~8e0105','019ca9db-2f80-796b-9f2e-8b1260250ca9');
INSERT INTO "about" VALUES('haul:h2','019ca880-3360-7000-8000-000000027c44');
INSERT INTO "about" VALUES('haul:h2','019ca881-1dc0-7000-8000-0000000fff64');
INSERT INTO "about" VALUES('rule:curbside','019ca86c-0f20-7000-8000-00000008e6b5');
INSERT INTO "about" VALUES('rule:curbside','019ca877-0ba0-7000-8000-000000037d50');
INSERT INTO "about" VALUES('rule:curbside','019ca884-c740-7000-8000-0000000f8fbf');
INSERT INTO "about" VALUES('rule:payment','019ca86a-3a60-745f-a32c-c5b953a079f0');
INSERT INTO "about" VALUES('setting:bench','019ca882-0820-7000-8000-000000024fdd');
INSERT INTO "about" VALUES('setting:wage','019ca872-77c0-7000-8000-00000006d2e3');
INSERT INTO "about" VALUES('ticket:t1','019ca873-6220-7000-8000-000000025947');
INSERT INTO "about" VALUES('ticket:t1','019ca877-f600-7000-8000-0000000d7751');
INSERT INTO "about" VALUES('ticket:t14','019ca8da-d680-7fd4-ae2e-5eb4fabf914a');
INSERT INTO "about" VALUES('ticket:t2','019ca86b-24c0-7000-8000-000000077a06');
INSERT INTO "about" VALUES('ticket:t6','019ca86e-ce40-7000-8000-00000002c9e2');
INSERT INTO "about" VALUES('ticket:t9','019ca871-8d60-7000-8000-00000006be23');
CREATE TABLE account (
	name TEXT NOT NULL, 
	amount TEXT NOT NULL, 
	PRIMARY KEY (name)
)
 WITHOUT ROWID

;
INSERT INTO "account" VALUES('deductions:depot','-834.651');
INSERT INTO "account" VALUES('deductions:harbour','-932.9');
INSERT INTO "account" VALUES('minutes:bench','99');
INSERT INTO "account" VALUES('minutes:collect','104');
INSERT INTO "account" VALUES('minutes:haul','417');
INSERT INTO "account" VALUES('paid:harbour','800.06697');
INSERT INTO "account" VALUES('sales:depot','78535.8');
INSERT INTO "account" VALUES('sales:harbour','22438.023');
INSERT INTO "account" VALUES('spent:fuel','-565.68');
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0003');
CREATE TABLE alias (
	event TEXT NOT NULL, 
	subject TEXT NOT NULL, 
	"key" TEXT NOT NULL, 
	PRIMARY KEY (event, subject), 
	FOREIGN KEY(event) REFERENCES event (id)
)
 WITHOUT ROWID

;
INSERT INTO "alias" VALUES('019ca8d9-01c0-7e79-9d33-2f584dacd708','bin:bucket','bin:bucket~acd708');
INSERT INTO "alias" VALUES('019ca8d9-01c0-7e79-9d33-2f593f983226','bin:drum','bin:drum~983226');
INSERT INTO "alias" VALUES('019ca8d9-01c0-7e79-9d33-2f59531d0fde','bin:bucket','bin:bucket~acd708');
INSERT INTO "alias" VALUES('019ca8d9-01c0-7e79-9d33-2f59531d0fde','bin:drum','bin:drum~983226');
INSERT INTO "alias" VALUES('019ca8da-d680-7fd4-ae2e-5eb0a21552f3','bin:drum','bin:drum~983226');
INSERT INTO "alias" VALUES('019ca8da-d680-7fd4-ae2e-5eb1d87333ca','bin:shelf','bin:shelf~7333ca');
INSERT INTO "alias" VALUES('019ca8da-d680-7fd4-ae2e-5eb2cd72035f','bin:shelf','bin:shelf~7333ca');
INSERT INTO "alias" VALUES('019ca8da-d680-7fd4-ae2e-5eb441a26ecd','bin:bucket','bin:bucket~acd708');
INSERT INTO "alias" VALUES('019ca8da-d680-7fd4-ae2e-5eb441a26ecd','bin:shelf','bin:shelf~7333ca');
INSERT INTO "alias" VALUES('019ca8da-d680-7fd4-ae2e-5eb4aa945ec2','bin:crate','bin:crate~945ec2');
INSERT INTO "alias" VALUES('019ca8da-d680-7fd4-ae2e-5eb4fabf914a','bin:crate','bin:crate~945ec2');
INSERT INTO "alias" VALUES('019ca8da-d680-7fd4-ae2e-5eb4fabf914a','bin:shelf','bin:shelf~7333ca');
INSERT INTO "alias" VALUES('019ca965-ff80-7b92-a470-4a62ae02af2f','bin:bucket','bin:bucket~02af2f');
INSERT INTO "alias" VALUES('019ca965-ff80-7d73-b7ca-0ee0f08f60d6','bin:bucket','bin:bucket~02af2f');
INSERT INTO "alias" VALUES('019ca966-e9e0-7953-8a63-aeb6fa06865f','bin:crate','bin:crate~06865f');
INSERT INTO "alias" VALUES('019ca966-e9e0-7e9a-a753-aa6aec5963e7','bin:bucket','bin:bucket~02af2f');
INSERT INTO "alias" VALUES('019ca966-e9e0-7e9a-a753-aa6aec5963e7','bin:crate','bin:crate~06865f');
INSERT INTO "alias" VALUES('019ca967-d440-7c48-9d5e-e0a35769fc6e','bin:drum','bin:drum~69fc6e');
INSERT INTO "alias" VALUES('019ca967-d440-7c48-9d5e-e0a445384089','bin:crate','bin:crate~06865f');
INSERT INTO "alias" VALUES('019ca967-d440-7c48-9d5e-e0a445384089','bin:drum','bin:drum~69fc6e');
INSERT INTO "alias" VALUES('019ca9db-2f80-796b-9f2e-8b11898e0105','haul:h1','haul:h1~8e0105');
INSERT INTO "alias" VALUES('019ca9db-2f80-796b-9f2e-8b1260250ca9','haul:h1','haul:h1~8e0105');
INSERT INTO "alias" VALUES('019ca9f6-a6c0-7af5-8750-cece1880f512','bin:shelf','bin:shelf~80f512');
INSERT INTO "alias" VALUES('019ca9f6-a6c0-7af5-8750-cece20a47a13','bin:shelf','bin:shelf~80f512');
INSERT INTO "alias" VALUES('019ca9f7-9120-7300-9301-5808d85c581c','bin:bucket','bin:bucket~acd708');
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
INSERT INTO "assertion" VALUES('019ca8da-d680-7fd4-ae2e-5eb0a21552f3','bin:drum~983226','copper-2',34153440,'loss','2026-03-01T05:00:00.000000Z',1);
INSERT INTO "assertion" VALUES('019ca9f7-9120-7300-9301-5808d85c581c','bin:bucket~acd708','motors',38244523,'loss','2026-03-01T15:15:00.000000Z',1);
CREATE TABLE balance (
	place TEXT NOT NULL, 
	grade TEXT NOT NULL, 
	mg BIGINT NOT NULL, 
	PRIMARY KEY (place, grade)
)
 WITHOUT ROWID

;
INSERT INTO "balance" VALUES('bin:bucket','copper-2',13688790);
INSERT INTO "balance" VALUES('bin:bucket','light-iron',15412617);
INSERT INTO "balance" VALUES('bin:bucket~02af2f','light-iron',778279);
INSERT INTO "balance" VALUES('bin:bucket~acd708','light-iron',-3114405);
INSERT INTO "balance" VALUES('bin:bucket~acd708','motors',38244523);
INSERT INTO "balance" VALUES('bin:crate~06865f','copper-2',-3073920);
INSERT INTO "balance" VALUES('bin:crate~06865f','light-iron',1844335);
INSERT INTO "balance" VALUES('bin:crate~945ec2','motors',-430390);
INSERT INTO "balance" VALUES('bin:drum','copper-2',-149538);
INSERT INTO "balance" VALUES('bin:drum~69fc6e','motors',3073920);
INSERT INTO "balance" VALUES('bin:drum~983226','copper-2',34153440);
INSERT INTO "balance" VALUES('bin:drum~983226','motors',-1218888);
INSERT INTO "balance" VALUES('bin:shelf','copper-2',20875088);
INSERT INTO "balance" VALUES('bin:shelf','light-iron',-2973338);
INSERT INTO "balance" VALUES('bin:shelf','motors',24681022);
INSERT INTO "balance" VALUES('bin:shelf~7333ca','copper-2',937573);
INSERT INTO "balance" VALUES('bin:shelf~80f512','copper-2',-357046);
INSERT INTO "balance" VALUES('bin:shelf~80f512','light-iron',357046);
INSERT INTO "balance" VALUES('buyer:depot','copper-2',149538);
INSERT INTO "balance" VALUES('buyer:depot','motors',488669);
INSERT INTO "balance" VALUES('buyer:harbour','copper-2',2176832);
INSERT INTO "balance" VALUES('buyer:harbour','light-iron',1666918);
INSERT INTO "balance" VALUES('buyer:harbour','motors',430390);
INSERT INTO "balance" VALUES('find:f1','',7793380);
INSERT INTO "balance" VALUES('find:f5','',3349296);
INSERT INTO "balance" VALUES('loss','',-144967940);
INSERT INTO "balance" VALUES('outside','',-17070495);
INSERT INTO "balance" VALUES('residue','',3254304);
CREATE TABLE "conflict" (
	about TEXT NOT NULL, 
	data TEXT NOT NULL, 
	PRIMARY KEY (about)
)
 WITHOUT ROWID

;
INSERT INTO "conflict" VALUES('bin:bucket~acd708','[{"code":"bin-below-zero","mg":-3114405,"name":"light-iron","sides":[["019ca8da-d680-7fd4-ae2e-5eb441a26ecd","00000001","me","2026-03-01T05:41:00.000000Z","3114405"]],"subjects":["bin:bucket~acd708"]}]');
INSERT INTO "conflict" VALUES('bin:crate~06865f','[{"code":"bin-below-zero","mg":-3073920,"name":"copper-2","sides":[["019ca967-d440-7c48-9d5e-e0a445384089","00000002","me","2026-03-01T12:38:00.000000Z","3073920"]],"subjects":["bin:crate~06865f"]}]');
INSERT INTO "conflict" VALUES('bin:crate~945ec2','[{"code":"bin-below-zero","mg":-430390,"name":"motors","sides":[["019ca8da-d680-7fd4-ae2e-5eb4fabf914a","00000001","me","2026-03-01T05:42:00.000000Z","430390"]],"subjects":["bin:crate~945ec2"]}]');
INSERT INTO "conflict" VALUES('bin:drum','[{"code":"bin-below-zero","mg":-149538,"name":"copper-2","sides":[["019ca86b-24c0-7000-8000-000000077a06","","mate","2026-03-01T08:20:00.000000Z","149538"]],"subjects":["bin:drum"]}]');
INSERT INTO "conflict" VALUES('bin:drum~983226','[{"code":"bin-below-zero","mg":-1218888,"name":"motors","sides":[["019ca8d9-01c0-7e79-9d33-2f59531d0fde","00000001","me","2026-03-01T10:02:00.000000Z","1218888"]],"subjects":["bin:drum~983226"]}]');
INSERT INTO "conflict" VALUES('bin:shelf','[{"code":"bin-below-zero","mg":-2973338,"name":"light-iron","sides":[["019ca86e-ce40-7000-8000-00000002c9e2","","mate","2026-03-01T08:40:00.000000Z","2973338"]],"subjects":["bin:shelf"]}]');
INSERT INTO "conflict" VALUES('bin:shelf~80f512','[{"code":"bin-below-zero","mg":-357046,"name":"copper-2","sides":[["019ca9f6-a6c0-7af5-8750-cece20a47a13","00000002","me","2026-03-01T15:14:00.000000Z","357046"]],"subjects":["bin:shelf~80f512"]}]');
CREATE TABLE copy (
	device TEXT NOT NULL, 
	place TEXT NOT NULL, 
	PRIMARY KEY (device)
);
CREATE TABLE correction (
	target TEXT NOT NULL, 
	event TEXT NOT NULL, 
	PRIMARY KEY (target, event), 
	FOREIGN KEY(event) REFERENCES event (id)
)
 WITHOUT ROWID

;
INSERT INTO "correction" VALUES('019ca874-4c80-7000-8000-0000000bcc2f','019ca888-70c0-7000-8000-0000000c4d28');
INSERT INTO "correction" VALUES('019ca878-e060-7000-8000-000000074f05','019ca88b-2fe0-7000-8000-000000039c4c');
INSERT INTO "correction" VALUES('019ca87b-9f80-7000-8000-00000002f33c','019ca889-5b20-7000-8000-000000045b8e');
INSERT INTO "correction" VALUES('019ca880-3360-7000-8000-000000027c44','019ca887-8660-7000-8000-000000065a28');
INSERT INTO "correction" VALUES('019ca882-f280-7000-8000-0000000c6e12','019ca886-9c00-7000-8000-00000007ba3c');
INSERT INTO "correction" VALUES('019ca885-b1a0-7000-8000-000000056d6b','019ca88a-4580-7000-8000-000000014c5e');
INSERT INTO "correction" VALUES('019ca8d7-2d00-7fb4-ad64-08a574858232','019ca9f6-a6c0-7af5-8750-cecf03b5637c');
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
INSERT INTO "entry" VALUES('019ca86e-ce40-7000-8000-00000002c9e2','sales:harbour','-815.457','light-iron',1);
INSERT INTO "entry" VALUES('019ca86e-ce40-7000-8000-00000002c9e2','deductions:harbour','-884.61','moisture',1);
INSERT INTO "entry" VALUES('019ca86f-b8a0-7000-8000-000000044e9d','minutes:collect','104','',1);
INSERT INTO "entry" VALUES('019ca871-8d60-7000-8000-00000006be23','sales:depot','550.88','motors',1);
INSERT INTO "entry" VALUES('019ca871-8d60-7000-8000-00000006be23','deductions:depot','-776.91','moisture',1);
INSERT INTO "entry" VALUES('019ca873-6220-7000-8000-000000025947','paid:harbour','799.97','t1',1);
INSERT INTO "entry" VALUES('019ca877-f600-7000-8000-0000000d7751','paid:harbour','0.09697','t1',1);
INSERT INTO "entry" VALUES('019ca878-e060-7000-8000-000000074f05','spent:fuel','-94418','a day''s worth',0);
INSERT INTO "entry" VALUES('019ca87c-89e0-7000-8000-0000000e693b','minutes:haul','271','h1',1);
INSERT INTO "entry" VALUES('019ca881-1dc0-7000-8000-0000000fff64','minutes:haul','43','h2',1);
INSERT INTO "entry" VALUES('019ca8d7-2d00-7fb4-ad64-08a574858232','paid:ridge','0.089818','',0);
INSERT INTO "entry" VALUES('019ca8da-d680-7fd4-ae2e-5eb146fa776f','minutes:bench','64','f1',1);
INSERT INTO "entry" VALUES('019ca8da-d680-7fd4-ae2e-5eb4fabf914a','sales:harbour','828.6','copper-2',1);
INSERT INTO "entry" VALUES('019ca8da-d680-7fd4-ae2e-5eb4fabf914a','sales:harbour','22424.88','motors',1);
INSERT INTO "entry" VALUES('019ca8da-d680-7fd4-ae2e-5eb4fabf914a','deductions:harbour','-48.29','moisture',1);
INSERT INTO "entry" VALUES('019ca8f2-a440-7f82-bf37-7b844e741266','spent:fuel','-565.68','a day''s worth',1);
INSERT INTO "entry" VALUES('019ca966-e9e0-7e9a-a753-aa6aec5963e7','minutes:bench','35','f3',1);
INSERT INTO "entry" VALUES('019ca9db-2f80-796b-9f2e-8b1260250ca9','minutes:haul','103','h1~8e0105',1);
CREATE TABLE event (
	id TEXT NOT NULL, 
	kind TEXT NOT NULL, 
	who TEXT NOT NULL, 
	happened TEXT NOT NULL, 
	typed TEXT NOT NULL, 
	schema INTEGER NOT NULL, 
	data TEXT NOT NULL, device TEXT DEFAULT '' NOT NULL, "order" TEXT DEFAULT '' NOT NULL, refs TEXT DEFAULT '{}' NOT NULL, 
	PRIMARY KEY (id)
)
 WITHOUT ROWID

;
INSERT INTO "event" VALUES('019ca869-5000-7000-8000-0000000f3973','identified','me','2026-03-01T08:20:00.000000Z','2026-03-01T08:00:00.000000Z',1,'{"answers":[{"answer":"weak","test":"magnet"},{"answer":"8.4+-0.2","test":"density"}],"context":"taps","count":4,"grade":null,"mass_mg":400000,"material":"brass-yellow","note":""}','','2026-03-01T08:20:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca86a-3a60-7000-8000-0000000cad57','traded','mate','2026-03-01T08:00:00.000000Z','2026-03-01T08:01:00.000000Z',1,'{"at":["30.65","-40.57"],"buyer":"harbour","kind":"yard","km":"14.0","minutes":5,"name":"harbour yard","note":"","refuses":["li-ion"],"shipping":[{"cost":"17.00","up_to_mg":20000000}]}','','2026-03-01T08:00:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca86a-3a60-745f-a32c-c5b953a079f0','ruled','me','2026-03-01T08:01:00.000000Z','2026-03-01T08:01:00.000000Z',2,'{"card":"payment","says":"by cheque","seen":"2025-03-30","source":"notice, at the yard"}','00000001','2026-03-01T08:01:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca86b-24c0-7000-8000-000000077a06','ticketed','mate','2026-03-01T08:20:00.000000Z','2026-03-01T08:02:00.000000Z',1,'{"buyer":"depot","deductions":[{"amount":"57.741","what":"moisture"}],"haul":null,"lines":[{"amount":"77984.92","bin":"drum","grade":"copper-2","mass_mg":149538,"own_mg":149538,"price":"4.10","unit":"lb"}],"number":"","ticket":"t2","total":"77927.179"}','','2026-03-01T08:20:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca86c-0f20-7000-8000-00000008e6b5','ruled','mate','2026-03-01T09:00:00.000000Z','2026-03-01T08:03:00.000000Z',1,'{"card":"curbside","says":"no cash","seen":"2025-03-27","source":"notice, at the yard"}','','2026-03-01T09:00:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca86c-f980-7000-8000-00000000f3ba','recounted','me','2026-03-01T08:40:00.000000Z','2026-03-01T08:04:00.000000Z',1,'{"bin":"bucket","grade":"light-iron","mass_mg":15412617,"opening":false,"was_mg":0}','','2026-03-01T08:40:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca86d-e3e0-7000-8000-000000008a5d','traded','me','2026-03-01T08:00:00.000000Z','2026-03-01T08:05:00.000000Z',1,'{"at":null,"buyer":"ridge","kind":"yard","km":"14.0","minutes":24,"name":"harbour yard","note":"","refuses":["li-ion"],"shipping":[{"cost":"17.00","up_to_mg":20000000}]}','','2026-03-01T08:00:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca86e-ce40-7000-8000-00000002c9e2','ticketed','mate','2026-03-01T08:40:00.000000Z','2026-03-01T08:06:00.000000Z',1,'{"buyer":"harbour","deductions":[{"amount":"884.61","what":"moisture"}],"haul":null,"lines":[{"amount":"-815.457","bin":"shelf","grade":"light-iron","mass_mg":1666918,"own_mg":2973338,"price":"4.10","unit":"lb"}],"number":"","ticket":"t6","total":"-1700.067"}','','2026-03-01T08:40:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca86f-b8a0-7000-8000-000000044e9d','worked','me','2026-03-01T08:00:00.000000Z','2026-03-01T08:07:00.000000Z',1,'{"activity":"collect","find":null,"minutes":104,"note":""}','','2026-03-01T08:00:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca870-a300-7000-8000-000000060740','traded','mate','2026-03-01T08:20:00.000000Z','2026-03-01T08:08:00.000000Z',1,'{"at":null,"buyer":"ridge","kind":"yard","km":"14.0","minutes":31,"name":"harbour yard","note":"","refuses":["li-ion"],"shipping":[]}','','2026-03-01T08:20:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca871-8d60-7000-8000-00000006be23','ticketed','me','2026-03-01T08:00:00.000000Z','2026-03-01T08:09:00.000000Z',1,'{"buyer":"depot","deductions":[{"amount":"776.91","what":"moisture"}],"haul":null,"lines":[{"amount":"550.88","bin":"shelf","grade":"motors","mass_mg":488669,"own_mg":1609571,"price":"4.10","unit":"lb"}],"number":"","ticket":"t9","total":"-226.03"}','','2026-03-01T08:00:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca872-77c0-7000-8000-00000006d2e3','set','mate','2026-03-01T08:20:00.000000Z','2026-03-01T08:10:00.000000Z',1,'{"name":"wage","value":"2"}','','2026-03-01T08:20:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca873-6220-7000-8000-000000025947','paid','me','2026-03-01T09:00:00.000000Z','2026-03-01T08:11:00.000000Z',1,'{"amount":"799.97","buyer":"harbour","how":"cash","ticket":"t1"}','','2026-03-01T09:00:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca874-4c80-7000-8000-0000000bcc2f','recounted','mate','2026-03-01T08:00:00.000000Z','2026-03-01T08:12:00.000000Z',1,'{"bin":"crate","grade":"motors","mass_mg":16308321,"opening":false,"was_mg":0}','','2026-03-01T08:00:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca875-36e0-7000-8000-0000000c5ae8','identified','me','2026-03-01T08:20:00.000000Z','2026-03-01T08:13:00.000000Z',1,'{"answers":[{"answer":"none","test":"magnet"},{"answer":"8.4+-0.2","test":"density"}],"context":"taps","count":5,"grade":"brass-yellow","mass_mg":400000,"material":"brass-yellow","note":""}','','2026-03-01T08:20:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca876-2140-7000-8000-000000064a76','quoted','mate','2026-03-01T08:20:00.000000Z','2026-03-01T08:14:00.000000Z',1,'{"buyer":"depot","from_mg":0,"grade":"copper-2","minimum_mg":0,"on":"2026-03-01","price":"29.934","said":"no 2 copper 4.10","unit":"lb"}','','2026-03-01T08:20:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca877-0ba0-7000-8000-000000037d50','ruled','me','2026-03-01T08:00:00.000000Z','2026-03-01T08:15:00.000000Z',1,'{"card":"curbside","says":"no cash","seen":"2025-07-29","source":"notice, at the yard"}','','2026-03-01T08:00:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca877-f600-7000-8000-0000000d7751','paid','mate','2026-03-01T08:40:00.000000Z','2026-03-01T08:16:00.000000Z',1,'{"amount":"0.096970","buyer":"harbour","how":"cash","ticket":"t1"}','','2026-03-01T08:40:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca878-e060-7000-8000-000000074f05','spent','mate','2026-03-01T08:20:00.000000Z','2026-03-01T08:17:00.000000Z',1,'{"amount":"94418","category":"fuel","what":"a day''s worth"}','','2026-03-01T08:20:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca879-cac0-7000-8000-000000023683','recounted','mate','2026-03-01T08:00:00.000000Z','2026-03-01T08:18:00.000000Z',1,'{"bin":"bucket","grade":"copper-2","mass_mg":13688790,"opening":false,"was_mg":0}','','2026-03-01T08:00:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca87a-b520-7000-8000-00000005a3de','binned','mate','2026-03-01T08:00:00.000000Z','2026-03-01T08:19:00.000000Z',1,'{"bin":"crate","capacity_l":"20","grade":"copper-2","name":"by the door"}','','2026-03-01T08:00:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca87b-9f80-7000-8000-00000002f33c','hauled','mate','2026-03-01T08:20:00.000000Z','2026-03-01T08:20:00.000000Z',1,'{"haul":"h1","km":null,"minutes":null,"note":"","status":"started","stops":["harbour","ridge"]}','','2026-03-01T08:20:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca87c-89e0-7000-8000-0000000e693b','hauled','mate','2026-03-01T08:20:00.000000Z','2026-03-01T08:21:00.000000Z',1,'{"haul":"h1","km":"31.5","minutes":271,"note":"","status":"finished","stops":["harbour"]}','','2026-03-01T08:20:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca87d-7440-7000-8000-0000000112c6','quoted','me','2026-03-01T08:40:00.000000Z','2026-03-01T08:22:00.000000Z',1,'{"buyer":"ridge","from_mg":22679618,"grade":"motors","minimum_mg":0,"on":"2026-03-01","price":"4598","said":"no 2 copper 4.10","unit":"lb"}','','2026-03-01T08:40:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca87e-5ea0-7000-8000-000000045f13','recounted','me','2026-03-01T08:40:00.000000Z','2026-03-01T08:23:00.000000Z',1,'{"bin":"shelf","grade":"copper-2","mass_mg":20875088,"opening":false,"was_mg":0}','','2026-03-01T08:40:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca87f-4900-7000-8000-00000004253a','recounted','mate','2026-03-01T08:00:00.000000Z','2026-03-01T08:24:00.000000Z',1,'{"bin":"shelf","grade":"motors","mass_mg":24681022,"opening":false,"was_mg":-1609571}','','2026-03-01T08:00:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca880-3360-7000-8000-000000027c44','hauled','mate','2026-03-01T09:00:00.000000Z','2026-03-01T08:25:00.000000Z',1,'{"haul":"h2","km":null,"minutes":null,"note":"","status":"started","stops":["harbour","ridge"]}','','2026-03-01T09:00:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca881-1dc0-7000-8000-0000000fff64','hauled','me','2026-03-01T08:00:00.000000Z','2026-03-01T08:26:00.000000Z',1,'{"haul":"h2","km":"31.5","minutes":43,"note":"","status":"finished","stops":["harbour"]}','','2026-03-01T08:00:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca882-0820-7000-8000-000000024fdd','set','me','2026-03-01T08:00:00.000000Z','2026-03-01T08:27:00.000000Z',1,'{"name":"bench","value":"19"}','','2026-03-01T08:00:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca882-f280-7000-8000-0000000c6e12','recounted','mate','2026-03-01T08:40:00.000000Z','2026-03-01T08:28:00.000000Z',1,'{"bin":"drum","grade":"light-iron","mass_mg":27933815,"opening":false,"was_mg":0}','','2026-03-01T08:40:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca883-dce0-7000-8000-00000009ed71','identified','me','2026-03-01T08:00:00.000000Z','2026-03-01T08:29:00.000000Z',1,'{"answers":[{"answer":"weak","test":"magnet"},{"answer":"8.4+-0.2","test":"density"}],"context":"taps","count":5,"grade":null,"mass_mg":400000,"material":"brass-yellow","note":""}','','2026-03-01T08:00:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca884-c740-7000-8000-0000000f8fbf','ruled','mate','2026-03-01T09:00:00.000000Z','2026-03-01T08:30:00.000000Z',1,'{"card":"curbside","says":"no cash","seen":"2025-11-04","source":"notice, at the yard"}','','2026-03-01T09:00:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca885-b1a0-7000-8000-000000056d6b','found','mate','2026-03-01T08:20:00.000000Z','2026-03-01T08:31:00.000000Z',1,'{"count":1,"find":"f31","kind":"desktop-pc","mass_mg":5050490,"note":"","photo":"","source":"curb","works":"unknown"}','','2026-03-01T08:20:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca886-9c00-7000-8000-00000007ba3c','corrected','mate','2026-03-01T09:00:00.000000Z','2026-03-01T08:32:00.000000Z',1,'{"event":"019ca882-f280-7000-8000-0000000c6e12","instead":null,"why":"slip of the thumb"}','','2026-03-01T09:00:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca887-8660-7000-8000-000000065a28','corrected','mate','2026-03-01T08:40:00.000000Z','2026-03-01T08:33:00.000000Z',1,'{"event":"019ca880-3360-7000-8000-000000027c44","instead":null,"why":"slip of the thumb"}','','2026-03-01T08:40:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca888-70c0-7000-8000-0000000c4d28','corrected','me','2026-03-01T08:20:00.000000Z','2026-03-01T08:34:00.000000Z',1,'{"event":"019ca874-4c80-7000-8000-0000000bcc2f","instead":null,"why":"slip of the thumb"}','','2026-03-01T08:20:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca889-5b20-7000-8000-000000045b8e','corrected','me','2026-03-01T08:20:00.000000Z','2026-03-01T08:35:00.000000Z',1,'{"event":"019ca87b-9f80-7000-8000-00000002f33c","instead":null,"why":"slip of the thumb"}','','2026-03-01T08:20:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca88a-4580-7000-8000-000000014c5e','corrected','me','2026-03-01T08:40:00.000000Z','2026-03-01T08:36:00.000000Z',1,'{"event":"019ca885-b1a0-7000-8000-000000056d6b","instead":null,"why":"slip of the thumb"}','','2026-03-01T08:40:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca88b-2fe0-7000-8000-000000039c4c','corrected','mate','2026-03-01T08:20:00.000000Z','2026-03-01T08:37:00.000000Z',1,'{"event":"019ca878-e060-7000-8000-000000074f05","instead":null,"why":"slip of the thumb"}','','2026-03-01T08:20:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca8d7-2d00-7fb4-ad64-08a574858232','paid','me','2026-03-01T10:00:00.000000Z','2026-03-01T10:00:00.000000Z',2,'{"amount":"0.089818","buyer":"ridge","how":"cash","ticket":null}','00000002','2026-03-01T10:00:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca8d7-2d00-7fb4-ad64-08a5998d3670','quoted','me','2026-03-01T08:30:00.000000Z','2026-03-01T08:30:00.000000Z',2,'{"buyer":"harbour","from_mg":0,"grade":"copper-2","minimum_mg":0,"on":"2026-03-01","price":"0.084011","said":"no 2 copper 4.10","unit":"lb"}','00000002','2026-03-01T10:00:00.000001Z','{}');
INSERT INTO "event" VALUES('019ca8d8-1760-7ee5-849c-c1f7b8d5d780','found','me','2026-03-01T10:01:00.000000Z','2026-03-01T10:01:00.000000Z',2,'{"count":2,"find":"f1","kind":"desktop-pc","mass_mg":8095658,"note":"","photo":"","source":"curb","works":"no"}','00000001','2026-03-01T10:01:00.000000Z','{"find:f1":"019ca8d8-1760-7ee5-849c-c1f7b8d5d780"}');
INSERT INTO "event" VALUES('019ca8d9-01c0-7e79-9d33-2f584dacd708','binned','me','2026-03-01T10:02:00.000000Z','2026-03-01T10:02:00.000000Z',2,'{"bin":"bucket","capacity_l":null,"grade":"light-iron","name":""}','00000001','2026-03-01T10:02:00.000000Z','{"bin:bucket":"019ca8d9-01c0-7e79-9d33-2f584dacd708"}');
INSERT INTO "event" VALUES('019ca8d9-01c0-7e79-9d33-2f593f983226','binned','me','2026-03-01T10:02:00.000000Z','2026-03-01T10:02:00.000000Z',2,'{"bin":"drum","capacity_l":null,"grade":"copper-2","name":""}','00000001','2026-03-01T10:02:00.000001Z','{"bin:drum":"019ca8d9-01c0-7e79-9d33-2f593f983226"}');
INSERT INTO "event" VALUES('019ca8d9-01c0-7e79-9d33-2f59531d0fde','moved','me','2026-03-01T10:02:00.000000Z','2026-03-01T10:02:00.000000Z',2,'{"bin":"drum","grade":"motors","mass_mg":1218888,"to_bin":"bucket","to_grade":"motors"}','00000001','2026-03-01T10:02:00.000002Z','{"bin:bucket":"019ca8d9-01c0-7e79-9d33-2f584dacd708","bin:drum":"019ca8d9-01c0-7e79-9d33-2f593f983226"}');
INSERT INTO "event" VALUES('019ca8d9-ec20-7f63-bb44-5a3c01a84bf5','found','me','2026-03-01T10:03:00.000000Z','2026-03-01T10:03:00.000000Z',2,'{"count":1,"find":"f5","kind":"desktop-pc","mass_mg":3349296,"note":"","photo":"","source":"curb","works":"unknown"}','00000001','2026-03-01T10:03:00.000000Z','{"find:f5":"019ca8d9-ec20-7f63-bb44-5a3c01a84bf5"}');
INSERT INTO "event" VALUES('019ca8da-d680-7fd4-ae2e-5eb0a21552f3','recounted','me','2026-03-01T05:00:00.000000Z','2026-03-01T10:04:00.000000Z',2,'{"bin":"drum","grade":"copper-2","mass_mg":34153440,"opening":false,"was_mg":0}','00000001','2026-03-01T05:00:00.000000Z','{"bin:drum":"019ca8d9-01c0-7e79-9d33-2f593f983226"}');
INSERT INTO "event" VALUES('019ca8da-d680-7fd4-ae2e-5eb0b53c835a','identified','me','2026-03-01T08:34:00.000000Z','2026-03-01T08:34:00.000000Z',2,'{"answers":[{"answer":"none","test":"magnet"},{"answer":"8.4+-0.2","test":"density"}],"context":"taps","count":4,"grade":null,"mass_mg":400000,"material":"brass-yellow","note":""}','00000001','2026-03-01T10:03:00.000001Z','{}');
INSERT INTO "event" VALUES('019ca8da-d680-7fd4-ae2e-5eb146fa776f','opened','me','2026-03-01T08:39:00.000000Z','2026-03-01T08:39:00.000000Z',2,'{"closes":false,"find":"f1","loss_mg":11220,"minutes":64,"pieces":[],"residue_mg":291058,"runs":[{"operation":"open","piece":"whole","times":1}],"was_mg":8095658}','00000001','2026-03-01T10:03:00.000002Z','{"find:f1":"019ca8d8-1760-7ee5-849c-c1f7b8d5d780"}');
INSERT INTO "event" VALUES('019ca8da-d680-7fd4-ae2e-5eb1d87333ca','binned','me','2026-03-01T07:09:00.000000Z','2026-03-01T07:09:00.000000Z',2,'{"bin":"shelf","capacity_l":null,"grade":"motors","name":""}','00000001','2026-03-01T10:03:00.000003Z','{"bin:shelf":"019ca8da-d680-7fd4-ae2e-5eb1d87333ca"}');
INSERT INTO "event" VALUES('019ca8da-d680-7fd4-ae2e-5eb2cd72035f','binned','me','2026-03-01T07:09:00.000000Z','2026-03-01T07:09:00.000000Z',2,'{"bin":"shelf","capacity_l":"7.5","grade":"light-iron","name":"by the door"}','00000001','2026-03-01T10:03:00.000004Z','{"bin:shelf":"019ca8da-d680-7fd4-ae2e-5eb1d87333ca"}');
INSERT INTO "event" VALUES('019ca8da-d680-7fd4-ae2e-5eb2fb2266ff','found','me','2026-03-01T07:10:00.000000Z','2026-03-01T07:10:00.000000Z',2,'{"count":1,"find":"f11","kind":"desktop-pc","mass_mg":1386870,"note":"","photo":"","source":"curb","works":"no"}','00000001','2026-03-01T10:03:00.000005Z','{"find:f11":"019ca8da-d680-7fd4-ae2e-5eb2fb2266ff"}');
INSERT INTO "event" VALUES('019ca8da-d680-7fd4-ae2e-5eb35972c457','discarded','me','2026-03-01T07:11:00.000000Z','2026-03-01T07:11:00.000000Z',2,'{"find":"f11","mass_mg":2826008,"was_mg":1386870}','00000001','2026-03-01T10:03:00.000006Z','{"find:f11":"019ca8da-d680-7fd4-ae2e-5eb2fb2266ff"}');
INSERT INTO "event" VALUES('019ca8da-d680-7fd4-ae2e-5eb441a26ecd','moved','me','2026-03-01T05:41:00.000000Z','2026-03-01T05:41:00.000000Z',2,'{"bin":"bucket","grade":"light-iron","mass_mg":3114405,"to_bin":"shelf","to_grade":"copper-2"}','00000001','2026-03-01T10:03:00.000007Z','{"bin:bucket":"019ca8d9-01c0-7e79-9d33-2f584dacd708","bin:shelf":"019ca8da-d680-7fd4-ae2e-5eb1d87333ca"}');
INSERT INTO "event" VALUES('019ca8da-d680-7fd4-ae2e-5eb4aa945ec2','binned','me','2026-03-01T05:42:00.000000Z','2026-03-01T05:42:00.000000Z',2,'{"bin":"crate","capacity_l":null,"grade":"light-iron","name":""}','00000001','2026-03-01T10:03:00.000008Z','{"bin:crate":"019ca8da-d680-7fd4-ae2e-5eb4aa945ec2"}');
INSERT INTO "event" VALUES('019ca8da-d680-7fd4-ae2e-5eb4fabf914a','ticketed','me','2026-03-01T05:42:00.000000Z','2026-03-01T05:42:00.000000Z',2,'{"buyer":"harbour","deductions":[{"amount":"48.29","what":"moisture"}],"haul":null,"lines":[{"amount":"828.60","bin":"shelf","grade":"copper-2","mass_mg":2176832,"own_mg":2176832,"price":"4.10","unit":"lb"},{"amount":"22424.88","bin":"crate","grade":"motors","mass_mg":430390,"own_mg":430390,"price":"4.10","unit":"lb"}],"number":"","ticket":"t14","total":"23205.19"}','00000001','2026-03-01T10:03:00.000009Z','{"bin:crate":"019ca8da-d680-7fd4-ae2e-5eb4aa945ec2","bin:shelf":"019ca8da-d680-7fd4-ae2e-5eb1d87333ca","ticket:t14":"019ca8da-d680-7fd4-ae2e-5eb4fabf914a"}');
INSERT INTO "event" VALUES('019ca8f2-a440-7f82-bf37-7b844e741266','spent','me','2026-03-01T10:30:00.000000Z','2026-03-01T10:30:00.000000Z',2,'{"amount":"565.68","category":"fuel","what":"a day''s worth"}','00000002','2026-03-01T10:30:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca960-8140-7133-8049-e2fa91362376','found','me','2026-03-01T12:30:00.000000Z','2026-03-01T12:30:00.000000Z',2,'{"count":1,"find":"f3","kind":"bread-machine","mass_mg":2461391,"note":"","photo":"","source":"curb","works":"no"}','00000002','2026-03-01T12:30:00.000000Z','{"find:f3":"019ca960-8140-7133-8049-e2fa91362376"}');
INSERT INTO "event" VALUES('019ca965-1520-707b-90de-53b4bf4e2653','quoted','me','2026-03-01T12:35:00.000000Z','2026-03-01T12:35:00.000000Z',2,'{"buyer":"depot","from_mg":22679618,"grade":"motors","minimum_mg":0,"on":"2026-03-01","price":"466.27","said":"no 2 copper 4.10","unit":"lb"}','00000002','2026-03-01T12:35:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca965-ff80-7b92-a470-4a62ae02af2f','binned','me','2026-03-01T12:36:00.000000Z','2026-03-01T12:36:00.000000Z',2,'{"bin":"bucket","capacity_l":null,"grade":"motors","name":""}','00000002','2026-03-01T12:36:00.000000Z','{"bin:bucket":"019ca965-ff80-7b92-a470-4a62ae02af2f"}');
INSERT INTO "event" VALUES('019ca965-ff80-7d73-b7ca-0ee0f08f60d6','binned','me','2026-03-01T12:36:00.000000Z','2026-03-01T12:36:00.000000Z',2,'{"bin":"bucket","capacity_l":"7.5","grade":"motors","name":"by the door"}','00000002','2026-03-01T12:36:00.000001Z','{"bin:bucket":"019ca965-ff80-7b92-a470-4a62ae02af2f"}');
INSERT INTO "event" VALUES('019ca966-e9e0-7953-8a63-aeb6fa06865f','binned','me','2026-03-01T12:37:00.000000Z','2026-03-01T12:37:00.000000Z',2,'{"bin":"crate","capacity_l":null,"grade":"light-iron","name":""}','00000002','2026-03-01T12:37:00.000000Z','{"bin:crate":"019ca966-e9e0-7953-8a63-aeb6fa06865f"}');
INSERT INTO "event" VALUES('019ca966-e9e0-7e9a-a753-aa6aec5963e7','opened','me','2026-03-01T12:37:00.000000Z','2026-03-01T12:37:00.000000Z',2,'{"closes":true,"find":"f3","loss_mg":39681,"minutes":35,"pieces":[{"bin":"crate","count":4,"grade":"light-iron","mass_mg":1419397,"piece":"piece0"},{"bin":"crate","count":2,"grade":"light-iron","mass_mg":424938,"piece":"piece1"},{"bin":"bucket","count":4,"grade":"light-iron","mass_mg":778279,"piece":"piece2"}],"residue_mg":137238,"runs":[{"operation":"open","piece":"whole","times":1}],"was_mg":2461391}','00000002','2026-03-01T12:37:00.000001Z','{"bin:bucket":"019ca965-ff80-7b92-a470-4a62ae02af2f","bin:crate":"019ca966-e9e0-7953-8a63-aeb6fa06865f","find:f3":"019ca960-8140-7133-8049-e2fa91362376"}');
INSERT INTO "event" VALUES('019ca967-d440-7c48-9d5e-e0a35769fc6e','binned','me','2026-03-01T12:38:00.000000Z','2026-03-01T12:38:00.000000Z',2,'{"bin":"drum","capacity_l":null,"grade":"motors","name":""}','00000002','2026-03-01T12:38:00.000000Z','{"bin:drum":"019ca967-d440-7c48-9d5e-e0a35769fc6e"}');
INSERT INTO "event" VALUES('019ca967-d440-7c48-9d5e-e0a445384089','moved','me','2026-03-01T12:38:00.000000Z','2026-03-01T12:38:00.000000Z',2,'{"bin":"crate","grade":"copper-2","mass_mg":3073920,"to_bin":"drum","to_grade":"motors"}','00000002','2026-03-01T12:38:00.000001Z','{"bin:crate":"019ca966-e9e0-7953-8a63-aeb6fa06865f","bin:drum":"019ca967-d440-7c48-9d5e-e0a35769fc6e"}');
INSERT INTO "event" VALUES('019ca968-bea0-7b6d-8d31-e20733221e01','identified','me','2026-03-01T12:39:00.000000Z','2026-03-01T12:39:00.000000Z',2,'{"answers":[{"answer":"weak","test":"magnet"},{"answer":"8.4+-0.2","test":"density"}],"context":"taps","count":1,"grade":"brass-yellow","mass_mg":400000,"material":"brass-yellow","note":""}','00000002','2026-03-01T12:39:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca96d-5280-7989-9788-34e30a982001','quoted','me','2026-03-01T12:44:00.000000Z','2026-03-01T12:44:00.000000Z',2,'{"buyer":"harbour","from_mg":22679618,"grade":"motors","minimum_mg":0,"on":"2026-03-01","price":"915.05","said":"no 2 copper 4.10","unit":"lb"}','00000002','2026-03-01T12:44:00.000000Z','{}');
INSERT INTO "event" VALUES('019ca9db-2f80-796b-9f2e-8b11898e0105','hauled','me','2026-03-01T14:44:00.000000Z','2026-03-01T14:44:00.000000Z',2,'{"haul":"h1","km":null,"minutes":null,"note":"","status":"started","stops":["harbour","ridge"]}','00000002','2026-03-01T14:44:00.000000Z','{"haul:h1":"019ca9db-2f80-796b-9f2e-8b11898e0105"}');
INSERT INTO "event" VALUES('019ca9db-2f80-796b-9f2e-8b1260250ca9','hauled','me','2026-03-01T13:14:00.000000Z','2026-03-01T13:14:00.000000Z',2,'{"haul":"h1","km":"31.5","minutes":103,"note":"","status":"finished","stops":["harbour"]}','00000002','2026-03-01T14:44:00.000001Z','{"haul:h1":"019ca9db-2f80-796b-9f2e-8b11898e0105"}');
INSERT INTO "event" VALUES('019ca9f6-a6c0-7af5-8750-cece1880f512','binned','me','2026-03-01T15:14:00.000000Z','2026-03-01T15:14:00.000000Z',2,'{"bin":"shelf","capacity_l":null,"grade":"copper-2","name":""}','00000002','2026-03-01T15:14:00.000000Z','{"bin:shelf":"019ca9f6-a6c0-7af5-8750-cece1880f512"}');
INSERT INTO "event" VALUES('019ca9f6-a6c0-7af5-8750-cece20a47a13','moved','me','2026-03-01T15:14:00.000000Z','2026-03-01T15:14:00.000000Z',2,'{"bin":"shelf","grade":"copper-2","mass_mg":357046,"to_bin":"shelf","to_grade":"light-iron"}','00000002','2026-03-01T15:14:00.000001Z','{"bin:shelf":"019ca9f6-a6c0-7af5-8750-cece1880f512"}');
INSERT INTO "event" VALUES('019ca9f6-a6c0-7af5-8750-cecf03b5637c','corrected','me','2026-03-01T05:00:00.000000Z','2026-03-01T04:12:00.000000Z',2,'{"event":"019ca8d7-2d00-7fb4-ad64-08a574858232","instead":null,"why":"slip of the thumb"}','00000001','2026-03-01T05:00:00.000001Z','{}');
INSERT INTO "event" VALUES('019ca9f7-9120-7300-9301-5808d85c581c','recounted','me','2026-03-01T15:15:00.000000Z','2026-03-01T15:15:00.000000Z',2,'{"bin":"bucket","grade":"motors","mass_mg":38244523,"opening":false,"was_mg":0}','00000002','2026-03-01T15:15:00.000000Z','{"bin:bucket":"019ca8d9-01c0-7e79-9d33-2f584dacd708"}');
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
INSERT INTO "fact" VALUES('019ca86a-3a60-7000-8000-0000000cad57','buyer:harbour','terms','{"at":["30.65","-40.57"],"buyer":"harbour","kind":"yard","km":"14.0","minutes":5,"name":"harbour yard","note":"","refuses":["li-ion"],"shipping":[{"cost":"17.00","up_to_mg":20000000}]}','2026-03-01T08:00:00.000000Z','2026-03-01T08:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca86b-24c0-7000-8000-000000077a06','ticket:t2','printed','{"buyer":"depot","deductions":[{"amount":"57.741","what":"moisture"}],"haul":null,"lines":[{"amount":"77984.92","bin":"drum","grade":"copper-2","mass_mg":149538,"own_mg":149538,"price":"4.10","unit":"lb"}],"number":"","ticket":"t2","total":"77927.179"}','2026-03-01T08:20:00.000000Z','2026-03-01T08:20:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca86c-0f20-7000-8000-00000008e6b5','rule:curbside','here','{"card":"curbside","says":"no cash","seen":"2025-03-27","source":"notice, at the yard"}','2026-03-01T09:00:00.000000Z','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca86d-e3e0-7000-8000-000000008a5d','buyer:ridge','terms','{"at":null,"buyer":"ridge","kind":"yard","km":"14.0","minutes":24,"name":"harbour yard","note":"","refuses":["li-ion"],"shipping":[{"cost":"17.00","up_to_mg":20000000}]}','2026-03-01T08:00:00.000000Z','2026-03-01T08:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca86e-ce40-7000-8000-00000002c9e2','ticket:t6','printed','{"buyer":"harbour","deductions":[{"amount":"884.61","what":"moisture"}],"haul":null,"lines":[{"amount":"-815.457","bin":"shelf","grade":"light-iron","mass_mg":1666918,"own_mg":2973338,"price":"4.10","unit":"lb"}],"number":"","ticket":"t6","total":"-1700.067"}','2026-03-01T08:40:00.000000Z','2026-03-01T08:40:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca870-a300-7000-8000-000000060740','buyer:ridge','terms','{"at":null,"buyer":"ridge","kind":"yard","km":"14.0","minutes":31,"name":"harbour yard","note":"","refuses":["li-ion"],"shipping":[]}','2026-03-01T08:20:00.000000Z','2026-03-01T08:20:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca871-8d60-7000-8000-00000006be23','ticket:t9','printed','{"buyer":"depot","deductions":[{"amount":"776.91","what":"moisture"}],"haul":null,"lines":[{"amount":"550.88","bin":"shelf","grade":"motors","mass_mg":488669,"own_mg":1609571,"price":"4.10","unit":"lb"}],"number":"","ticket":"t9","total":"-226.03"}','2026-03-01T08:00:00.000000Z','2026-03-01T08:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca872-77c0-7000-8000-00000006d2e3','setting:wage','value','2','2026-03-01T08:20:00.000000Z','2026-03-01T08:20:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca876-2140-7000-8000-000000064a76','quote:depot:copper-2:0','heard','{"buyer":"depot","from_mg":0,"grade":"copper-2","minimum_mg":0,"on":"2026-03-01","price":"29.934","said":"no 2 copper 4.10","unit":"lb"}','2026-03-01T08:20:00.000000Z','2026-03-01T08:20:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca877-0ba0-7000-8000-000000037d50','rule:curbside','here','{"card":"curbside","says":"no cash","seen":"2025-07-29","source":"notice, at the yard"}','2026-03-01T08:00:00.000000Z','2026-03-01T08:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca87a-b520-7000-8000-00000005a3de','bin:crate','grade','copper-2','2026-03-01T08:00:00.000000Z','2026-03-01T08:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca87a-b520-7000-8000-00000005a3de','bin:crate','name','by the door','2026-03-01T08:00:00.000000Z','2026-03-01T08:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca87a-b520-7000-8000-00000005a3de','bin:crate','capacity_l','20','2026-03-01T08:00:00.000000Z','2026-03-01T08:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca87b-9f80-7000-8000-00000002f33c','haul:h1','status','started','2026-03-01T08:20:00.000000Z','2026-03-01T08:20:00.000000Z',0);
INSERT INTO "fact" VALUES('019ca87b-9f80-7000-8000-00000002f33c','haul:h1','stops','["harbour","ridge"]','2026-03-01T08:20:00.000000Z','2026-03-01T08:20:00.000000Z',0);
INSERT INTO "fact" VALUES('019ca87c-89e0-7000-8000-0000000e693b','haul:h1','status','finished','2026-03-01T08:20:00.000000Z','2026-03-01T08:20:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca87c-89e0-7000-8000-0000000e693b','haul:h1','stops','["harbour"]','2026-03-01T08:20:00.000000Z','2026-03-01T08:20:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca87c-89e0-7000-8000-0000000e693b','haul:h1','km','31.5','2026-03-01T08:20:00.000000Z','2026-03-01T08:20:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca87c-89e0-7000-8000-0000000e693b','haul:h1','minutes','271','2026-03-01T08:20:00.000000Z','2026-03-01T08:20:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca87d-7440-7000-8000-0000000112c6','quote:ridge:motors:22679618','heard','{"buyer":"ridge","from_mg":22679618,"grade":"motors","minimum_mg":0,"on":"2026-03-01","price":"4598","said":"no 2 copper 4.10","unit":"lb"}','2026-03-01T08:40:00.000000Z','2026-03-01T08:40:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca880-3360-7000-8000-000000027c44','haul:h2','status','started','2026-03-01T09:00:00.000000Z','2026-03-01T09:00:00.000000Z',0);
INSERT INTO "fact" VALUES('019ca880-3360-7000-8000-000000027c44','haul:h2','stops','["harbour","ridge"]','2026-03-01T09:00:00.000000Z','2026-03-01T09:00:00.000000Z',0);
INSERT INTO "fact" VALUES('019ca881-1dc0-7000-8000-0000000fff64','haul:h2','status','finished','2026-03-01T08:00:00.000000Z','2026-03-01T08:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca881-1dc0-7000-8000-0000000fff64','haul:h2','stops','["harbour"]','2026-03-01T08:00:00.000000Z','2026-03-01T08:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca881-1dc0-7000-8000-0000000fff64','haul:h2','km','31.5','2026-03-01T08:00:00.000000Z','2026-03-01T08:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca881-1dc0-7000-8000-0000000fff64','haul:h2','minutes','43','2026-03-01T08:00:00.000000Z','2026-03-01T08:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca882-0820-7000-8000-000000024fdd','setting:bench','value','19','2026-03-01T08:00:00.000000Z','2026-03-01T08:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca884-c740-7000-8000-0000000f8fbf','rule:curbside','here','{"card":"curbside","says":"no cash","seen":"2025-11-04","source":"notice, at the yard"}','2026-03-01T09:00:00.000000Z','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca885-b1a0-7000-8000-000000056d6b','find:f31','kind','desktop-pc','2026-03-01T08:20:00.000000Z','2026-03-01T08:20:00.000000Z',0);
INSERT INTO "fact" VALUES('019ca885-b1a0-7000-8000-000000056d6b','find:f31','count','1','2026-03-01T08:20:00.000000Z','2026-03-01T08:20:00.000000Z',0);
INSERT INTO "fact" VALUES('019ca885-b1a0-7000-8000-000000056d6b','find:f31','works','unknown','2026-03-01T08:20:00.000000Z','2026-03-01T08:20:00.000000Z',0);
INSERT INTO "fact" VALUES('019ca885-b1a0-7000-8000-000000056d6b','find:f31','source','curb','2026-03-01T08:20:00.000000Z','2026-03-01T08:20:00.000000Z',0);
INSERT INTO "fact" VALUES('019ca885-b1a0-7000-8000-000000056d6b','find:f31','found','2026-03-01T08:20:00.000000Z','2026-03-01T08:20:00.000000Z','2026-03-01T08:20:00.000000Z',0);
INSERT INTO "fact" VALUES('019ca86a-3a60-745f-a32c-c5b953a079f0','rule:payment','here','{"card":"payment","says":"by cheque","seen":"2025-03-30","source":"notice, at the yard"}','2026-03-01T08:01:00.000000Z','2026-03-01T08:01:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca8d7-2d00-7fb4-ad64-08a5998d3670','quote:harbour:copper-2:0','heard','{"buyer":"harbour","from_mg":0,"grade":"copper-2","minimum_mg":0,"on":"2026-03-01","price":"0.084011","said":"no 2 copper 4.10","unit":"lb"}','2026-03-01T08:30:00.000000Z','2026-03-01T10:00:00.000001Z',1);
INSERT INTO "fact" VALUES('019ca8d8-1760-7ee5-849c-c1f7b8d5d780','find:f1','kind','desktop-pc','2026-03-01T10:01:00.000000Z','2026-03-01T10:01:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca8d8-1760-7ee5-849c-c1f7b8d5d780','find:f1','count','2','2026-03-01T10:01:00.000000Z','2026-03-01T10:01:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca8d8-1760-7ee5-849c-c1f7b8d5d780','find:f1','works','no','2026-03-01T10:01:00.000000Z','2026-03-01T10:01:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca8d8-1760-7ee5-849c-c1f7b8d5d780','find:f1','source','curb','2026-03-01T10:01:00.000000Z','2026-03-01T10:01:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca8d8-1760-7ee5-849c-c1f7b8d5d780','find:f1','found','2026-03-01T10:01:00.000000Z','2026-03-01T10:01:00.000000Z','2026-03-01T10:01:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca8d9-01c0-7e79-9d33-2f584dacd708','bin:bucket~acd708','grade','light-iron','2026-03-01T10:02:00.000000Z','2026-03-01T10:02:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca8d9-01c0-7e79-9d33-2f584dacd708','bin:bucket~acd708','name','','2026-03-01T10:02:00.000000Z','2026-03-01T10:02:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca8d9-01c0-7e79-9d33-2f584dacd708','bin:bucket~acd708','capacity_l','','2026-03-01T10:02:00.000000Z','2026-03-01T10:02:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca8d9-01c0-7e79-9d33-2f593f983226','bin:drum~983226','grade','copper-2','2026-03-01T10:02:00.000000Z','2026-03-01T10:02:00.000001Z',1);
INSERT INTO "fact" VALUES('019ca8d9-01c0-7e79-9d33-2f593f983226','bin:drum~983226','name','','2026-03-01T10:02:00.000000Z','2026-03-01T10:02:00.000001Z',1);
INSERT INTO "fact" VALUES('019ca8d9-01c0-7e79-9d33-2f593f983226','bin:drum~983226','capacity_l','','2026-03-01T10:02:00.000000Z','2026-03-01T10:02:00.000001Z',1);
INSERT INTO "fact" VALUES('019ca8d9-ec20-7f63-bb44-5a3c01a84bf5','find:f5','kind','desktop-pc','2026-03-01T10:03:00.000000Z','2026-03-01T10:03:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca8d9-ec20-7f63-bb44-5a3c01a84bf5','find:f5','count','1','2026-03-01T10:03:00.000000Z','2026-03-01T10:03:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca8d9-ec20-7f63-bb44-5a3c01a84bf5','find:f5','works','unknown','2026-03-01T10:03:00.000000Z','2026-03-01T10:03:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca8d9-ec20-7f63-bb44-5a3c01a84bf5','find:f5','source','curb','2026-03-01T10:03:00.000000Z','2026-03-01T10:03:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca8d9-ec20-7f63-bb44-5a3c01a84bf5','find:f5','found','2026-03-01T10:03:00.000000Z','2026-03-01T10:03:00.000000Z','2026-03-01T10:03:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca8da-d680-7fd4-ae2e-5eb1d87333ca','bin:shelf~7333ca','grade','motors','2026-03-01T07:09:00.000000Z','2026-03-01T10:03:00.000003Z',1);
INSERT INTO "fact" VALUES('019ca8da-d680-7fd4-ae2e-5eb1d87333ca','bin:shelf~7333ca','name','','2026-03-01T07:09:00.000000Z','2026-03-01T10:03:00.000003Z',1);
INSERT INTO "fact" VALUES('019ca8da-d680-7fd4-ae2e-5eb1d87333ca','bin:shelf~7333ca','capacity_l','','2026-03-01T07:09:00.000000Z','2026-03-01T10:03:00.000003Z',1);
INSERT INTO "fact" VALUES('019ca8da-d680-7fd4-ae2e-5eb2cd72035f','bin:shelf~7333ca','grade','light-iron','2026-03-01T07:09:00.000000Z','2026-03-01T10:03:00.000004Z',1);
INSERT INTO "fact" VALUES('019ca8da-d680-7fd4-ae2e-5eb2cd72035f','bin:shelf~7333ca','name','by the door','2026-03-01T07:09:00.000000Z','2026-03-01T10:03:00.000004Z',1);
INSERT INTO "fact" VALUES('019ca8da-d680-7fd4-ae2e-5eb2cd72035f','bin:shelf~7333ca','capacity_l','7.5','2026-03-01T07:09:00.000000Z','2026-03-01T10:03:00.000004Z',1);
INSERT INTO "fact" VALUES('019ca8da-d680-7fd4-ae2e-5eb2fb2266ff','find:f11','kind','desktop-pc','2026-03-01T07:10:00.000000Z','2026-03-01T10:03:00.000005Z',1);
INSERT INTO "fact" VALUES('019ca8da-d680-7fd4-ae2e-5eb2fb2266ff','find:f11','count','1','2026-03-01T07:10:00.000000Z','2026-03-01T10:03:00.000005Z',1);
INSERT INTO "fact" VALUES('019ca8da-d680-7fd4-ae2e-5eb2fb2266ff','find:f11','works','no','2026-03-01T07:10:00.000000Z','2026-03-01T10:03:00.000005Z',1);
INSERT INTO "fact" VALUES('019ca8da-d680-7fd4-ae2e-5eb2fb2266ff','find:f11','source','curb','2026-03-01T07:10:00.000000Z','2026-03-01T10:03:00.000005Z',1);
INSERT INTO "fact" VALUES('019ca8da-d680-7fd4-ae2e-5eb2fb2266ff','find:f11','found','2026-03-01T07:10:00.000000Z','2026-03-01T07:10:00.000000Z','2026-03-01T10:03:00.000005Z',1);
INSERT INTO "fact" VALUES('019ca8da-d680-7fd4-ae2e-5eb35972c457','find:f11','closed','yes','2026-03-01T07:11:00.000000Z','2026-03-01T10:03:00.000006Z',1);
INSERT INTO "fact" VALUES('019ca8da-d680-7fd4-ae2e-5eb4aa945ec2','bin:crate~945ec2','grade','light-iron','2026-03-01T05:42:00.000000Z','2026-03-01T10:03:00.000008Z',1);
INSERT INTO "fact" VALUES('019ca8da-d680-7fd4-ae2e-5eb4aa945ec2','bin:crate~945ec2','name','','2026-03-01T05:42:00.000000Z','2026-03-01T10:03:00.000008Z',1);
INSERT INTO "fact" VALUES('019ca8da-d680-7fd4-ae2e-5eb4aa945ec2','bin:crate~945ec2','capacity_l','','2026-03-01T05:42:00.000000Z','2026-03-01T10:03:00.000008Z',1);
INSERT INTO "fact" VALUES('019ca8da-d680-7fd4-ae2e-5eb4fabf914a','ticket:t14','printed','{"buyer":"harbour","deductions":[{"amount":"48.29","what":"moisture"}],"haul":null,"lines":[{"amount":"828.60","bin":"shelf~7333ca","grade":"copper-2","mass_mg":2176832,"own_mg":2176832,"price":"4.10","unit":"lb"},{"amount":"22424.88","bin":"crate~945ec2","grade":"motors","mass_mg":430390,"own_mg":430390,"price":"4.10","unit":"lb"}],"number":"","ticket":"t14","total":"23205.19"}','2026-03-01T05:42:00.000000Z','2026-03-01T10:03:00.000009Z',1);
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
INSERT INTO "fact" VALUES('019ca966-e9e0-7953-8a63-aeb6fa06865f','bin:crate~06865f','grade','light-iron','2026-03-01T12:37:00.000000Z','2026-03-01T12:37:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca966-e9e0-7953-8a63-aeb6fa06865f','bin:crate~06865f','name','','2026-03-01T12:37:00.000000Z','2026-03-01T12:37:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca966-e9e0-7953-8a63-aeb6fa06865f','bin:crate~06865f','capacity_l','','2026-03-01T12:37:00.000000Z','2026-03-01T12:37:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca966-e9e0-7e9a-a753-aa6aec5963e7','find:f3','closed','yes','2026-03-01T12:37:00.000000Z','2026-03-01T12:37:00.000001Z',1);
INSERT INTO "fact" VALUES('019ca967-d440-7c48-9d5e-e0a35769fc6e','bin:drum~69fc6e','grade','motors','2026-03-01T12:38:00.000000Z','2026-03-01T12:38:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca967-d440-7c48-9d5e-e0a35769fc6e','bin:drum~69fc6e','name','','2026-03-01T12:38:00.000000Z','2026-03-01T12:38:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca967-d440-7c48-9d5e-e0a35769fc6e','bin:drum~69fc6e','capacity_l','','2026-03-01T12:38:00.000000Z','2026-03-01T12:38:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca96d-5280-7989-9788-34e30a982001','quote:harbour:motors:22679618','heard','{"buyer":"harbour","from_mg":22679618,"grade":"motors","minimum_mg":0,"on":"2026-03-01","price":"915.05","said":"no 2 copper 4.10","unit":"lb"}','2026-03-01T12:44:00.000000Z','2026-03-01T12:44:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca9db-2f80-796b-9f2e-8b11898e0105','haul:h1~8e0105','status','started','2026-03-01T14:44:00.000000Z','2026-03-01T14:44:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca9db-2f80-796b-9f2e-8b11898e0105','haul:h1~8e0105','stops','["harbour","ridge"]','2026-03-01T14:44:00.000000Z','2026-03-01T14:44:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca9db-2f80-796b-9f2e-8b1260250ca9','haul:h1~8e0105','status','finished','2026-03-01T13:14:00.000000Z','2026-03-01T14:44:00.000001Z',1);
INSERT INTO "fact" VALUES('019ca9db-2f80-796b-9f2e-8b1260250ca9','haul:h1~8e0105','stops','["harbour"]','2026-03-01T13:14:00.000000Z','2026-03-01T14:44:00.000001Z',1);
INSERT INTO "fact" VALUES('019ca9db-2f80-796b-9f2e-8b1260250ca9','haul:h1~8e0105','km','31.5','2026-03-01T13:14:00.000000Z','2026-03-01T14:44:00.000001Z',1);
INSERT INTO "fact" VALUES('019ca9db-2f80-796b-9f2e-8b1260250ca9','haul:h1~8e0105','minutes','103','2026-03-01T13:14:00.000000Z','2026-03-01T14:44:00.000001Z',1);
INSERT INTO "fact" VALUES('019ca9f6-a6c0-7af5-8750-cece1880f512','bin:shelf~80f512','grade','copper-2','2026-03-01T15:14:00.000000Z','2026-03-01T15:14:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca9f6-a6c0-7af5-8750-cece1880f512','bin:shelf~80f512','name','','2026-03-01T15:14:00.000000Z','2026-03-01T15:14:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca9f6-a6c0-7af5-8750-cece1880f512','bin:shelf~80f512','capacity_l','','2026-03-01T15:14:00.000000Z','2026-03-01T15:14:00.000000Z',1);
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
INSERT INTO "move" VALUES('019ca86c-f980-7000-8000-00000000f3ba','loss','bin:bucket','light-iron',15412617,'2026-03-01T08:40:00.000000Z',1);
INSERT INTO "move" VALUES('019ca86e-ce40-7000-8000-00000002c9e2','bin:shelf','buyer:harbour','light-iron',1666918,'2026-03-01T08:40:00.000000Z',1);
INSERT INTO "move" VALUES('019ca86e-ce40-7000-8000-00000002c9e2','bin:shelf','loss','light-iron',1306420,'2026-03-01T08:40:00.000000Z',1);
INSERT INTO "move" VALUES('019ca871-8d60-7000-8000-00000006be23','bin:shelf','buyer:depot','motors',488669,'2026-03-01T08:00:00.000000Z',1);
INSERT INTO "move" VALUES('019ca871-8d60-7000-8000-00000006be23','bin:shelf','loss','motors',1120902,'2026-03-01T08:00:00.000000Z',1);
INSERT INTO "move" VALUES('019ca874-4c80-7000-8000-0000000bcc2f','loss','bin:crate','motors',16308321,'2026-03-01T08:00:00.000000Z',0);
INSERT INTO "move" VALUES('019ca879-cac0-7000-8000-000000023683','loss','bin:bucket','copper-2',13688790,'2026-03-01T08:00:00.000000Z',1);
INSERT INTO "move" VALUES('019ca87e-5ea0-7000-8000-000000045f13','loss','bin:shelf','copper-2',20875088,'2026-03-01T08:40:00.000000Z',1);
INSERT INTO "move" VALUES('019ca87f-4900-7000-8000-00000004253a','loss','bin:shelf','motors',26290593,'2026-03-01T08:00:00.000000Z',1);
INSERT INTO "move" VALUES('019ca882-f280-7000-8000-0000000c6e12','loss','bin:drum','light-iron',27933815,'2026-03-01T08:40:00.000000Z',0);
INSERT INTO "move" VALUES('019ca885-b1a0-7000-8000-000000056d6b','outside','find:f31','',5050490,'2026-03-01T08:20:00.000000Z',0);
INSERT INTO "move" VALUES('019ca8d8-1760-7ee5-849c-c1f7b8d5d780','outside','find:f1','',8095658,'2026-03-01T10:01:00.000000Z',1);
INSERT INTO "move" VALUES('019ca8d9-01c0-7e79-9d33-2f59531d0fde','bin:drum~983226','bin:bucket~acd708','motors',1218888,'2026-03-01T10:02:00.000002Z',1);
INSERT INTO "move" VALUES('019ca8d9-ec20-7f63-bb44-5a3c01a84bf5','outside','find:f5','',3349296,'2026-03-01T10:03:00.000000Z',1);
INSERT INTO "move" VALUES('019ca8da-d680-7fd4-ae2e-5eb146fa776f','find:f1','residue','',291058,'2026-03-01T10:03:00.000002Z',1);
INSERT INTO "move" VALUES('019ca8da-d680-7fd4-ae2e-5eb146fa776f','find:f1','loss','',11220,'2026-03-01T10:03:00.000002Z',1);
INSERT INTO "move" VALUES('019ca8da-d680-7fd4-ae2e-5eb2fb2266ff','outside','find:f11','',1386870,'2026-03-01T10:03:00.000005Z',1);
INSERT INTO "move" VALUES('019ca8da-d680-7fd4-ae2e-5eb35972c457','outside','find:f11','',1439138,'2026-03-01T10:03:00.000006Z',1);
INSERT INTO "move" VALUES('019ca8da-d680-7fd4-ae2e-5eb35972c457','find:f11','residue','',2826008,'2026-03-01T10:03:00.000006Z',1);
INSERT INTO "move" VALUES('019ca8da-d680-7fd4-ae2e-5eb441a26ecd','bin:bucket~acd708','regraded','light-iron',3114405,'2026-03-01T10:03:00.000007Z',1);
INSERT INTO "move" VALUES('019ca8da-d680-7fd4-ae2e-5eb441a26ecd','regraded','bin:shelf~7333ca','copper-2',3114405,'2026-03-01T10:03:00.000007Z',1);
INSERT INTO "move" VALUES('019ca8da-d680-7fd4-ae2e-5eb4fabf914a','bin:shelf~7333ca','buyer:harbour','copper-2',2176832,'2026-03-01T10:03:00.000009Z',1);
INSERT INTO "move" VALUES('019ca8da-d680-7fd4-ae2e-5eb4fabf914a','bin:crate~945ec2','buyer:harbour','motors',430390,'2026-03-01T10:03:00.000009Z',1);
INSERT INTO "move" VALUES('019ca960-8140-7133-8049-e2fa91362376','outside','find:f3','',2461391,'2026-03-01T12:30:00.000000Z',1);
INSERT INTO "move" VALUES('019ca966-e9e0-7e9a-a753-aa6aec5963e7','outside','find:f3','',338142,'2026-03-01T12:37:00.000001Z',1);
INSERT INTO "move" VALUES('019ca966-e9e0-7e9a-a753-aa6aec5963e7','find:f3','bin:crate~06865f','light-iron',1419397,'2026-03-01T12:37:00.000001Z',1);
INSERT INTO "move" VALUES('019ca966-e9e0-7e9a-a753-aa6aec5963e7','find:f3','bin:crate~06865f','light-iron',424938,'2026-03-01T12:37:00.000001Z',1);
INSERT INTO "move" VALUES('019ca966-e9e0-7e9a-a753-aa6aec5963e7','find:f3','bin:bucket~02af2f','light-iron',778279,'2026-03-01T12:37:00.000001Z',1);
INSERT INTO "move" VALUES('019ca966-e9e0-7e9a-a753-aa6aec5963e7','find:f3','residue','',137238,'2026-03-01T12:37:00.000001Z',1);
INSERT INTO "move" VALUES('019ca966-e9e0-7e9a-a753-aa6aec5963e7','find:f3','loss','',39681,'2026-03-01T12:37:00.000001Z',1);
INSERT INTO "move" VALUES('019ca967-d440-7c48-9d5e-e0a445384089','bin:crate~06865f','regraded','copper-2',3073920,'2026-03-01T12:38:00.000001Z',1);
INSERT INTO "move" VALUES('019ca967-d440-7c48-9d5e-e0a445384089','regraded','bin:drum~69fc6e','motors',3073920,'2026-03-01T12:38:00.000001Z',1);
INSERT INTO "move" VALUES('019ca9f6-a6c0-7af5-8750-cece20a47a13','bin:shelf~80f512','regraded','copper-2',357046,'2026-03-01T15:14:00.000001Z',1);
INSERT INTO "move" VALUES('019ca9f6-a6c0-7af5-8750-cece20a47a13','regraded','bin:shelf~80f512','light-iron',357046,'2026-03-01T15:14:00.000001Z',1);
INSERT INTO "move" VALUES('019ca8da-d680-7fd4-ae2e-5eb0a21552f3','loss','bin:drum~983226','copper-2',34153440,'2026-03-01T05:00:00.000000Z',1);
INSERT INTO "move" VALUES('019ca9f7-9120-7300-9301-5808d85c581c','loss','bin:bucket~acd708','motors',37025635,'2026-03-01T15:15:00.000000Z',1);
CREATE TABLE thing (
	subject TEXT NOT NULL, 
	maker TEXT NOT NULL, 
	first TEXT NOT NULL, 
	"key" TEXT NOT NULL, 
	PRIMARY KEY (subject, maker)
)
 WITHOUT ROWID

;
INSERT INTO "thing" VALUES('bin:bucket','','','bin:bucket');
INSERT INTO "thing" VALUES('bin:bucket','019ca8d9-01c0-7e79-9d33-2f584dacd708','019ca8d9-01c0-7e79-9d33-2f584dacd708','bin:bucket~acd708');
INSERT INTO "thing" VALUES('bin:bucket','019ca965-ff80-7b92-a470-4a62ae02af2f','019ca965-ff80-7b92-a470-4a62ae02af2f','bin:bucket~02af2f');
INSERT INTO "thing" VALUES('bin:crate','','','bin:crate');
INSERT INTO "thing" VALUES('bin:crate','019ca8da-d680-7fd4-ae2e-5eb4aa945ec2','019ca8da-d680-7fd4-ae2e-5eb4aa945ec2','bin:crate~945ec2');
INSERT INTO "thing" VALUES('bin:crate','019ca966-e9e0-7953-8a63-aeb6fa06865f','019ca966-e9e0-7953-8a63-aeb6fa06865f','bin:crate~06865f');
INSERT INTO "thing" VALUES('bin:drum','','','bin:drum');
INSERT INTO "thing" VALUES('bin:drum','019ca8d9-01c0-7e79-9d33-2f593f983226','019ca8d9-01c0-7e79-9d33-2f593f983226','bin:drum~983226');
INSERT INTO "thing" VALUES('bin:drum','019ca967-d440-7c48-9d5e-e0a35769fc6e','019ca967-d440-7c48-9d5e-e0a35769fc6e','bin:drum~69fc6e');
INSERT INTO "thing" VALUES('bin:shelf','','','bin:shelf');
INSERT INTO "thing" VALUES('bin:shelf','019ca8da-d680-7fd4-ae2e-5eb1d87333ca','019ca8da-d680-7fd4-ae2e-5eb1d87333ca','bin:shelf~7333ca');
INSERT INTO "thing" VALUES('bin:shelf','019ca9f6-a6c0-7af5-8750-cece1880f512','019ca9f6-a6c0-7af5-8750-cece1880f512','bin:shelf~80f512');
INSERT INTO "thing" VALUES('find:f1','019ca8d8-1760-7ee5-849c-c1f7b8d5d780','019ca8d8-1760-7ee5-849c-c1f7b8d5d780','find:f1');
INSERT INTO "thing" VALUES('find:f11','019ca8da-d680-7fd4-ae2e-5eb2fb2266ff','019ca8da-d680-7fd4-ae2e-5eb2fb2266ff','find:f11');
INSERT INTO "thing" VALUES('find:f3','019ca960-8140-7133-8049-e2fa91362376','019ca960-8140-7133-8049-e2fa91362376','find:f3');
INSERT INTO "thing" VALUES('find:f31','','','find:f31');
INSERT INTO "thing" VALUES('find:f5','019ca8d9-ec20-7f63-bb44-5a3c01a84bf5','019ca8d9-ec20-7f63-bb44-5a3c01a84bf5','find:f5');
INSERT INTO "thing" VALUES('haul:h1','','','haul:h1');
INSERT INTO "thing" VALUES('haul:h1','019ca9db-2f80-796b-9f2e-8b11898e0105','019ca9db-2f80-796b-9f2e-8b11898e0105','haul:h1~8e0105');
INSERT INTO "thing" VALUES('haul:h2','','','haul:h2');
INSERT INTO "thing" VALUES('ticket:t1','','','ticket:t1');
INSERT INTO "thing" VALUES('ticket:t14','019ca8da-d680-7fd4-ae2e-5eb4fabf914a','019ca8da-d680-7fd4-ae2e-5eb4fabf914a','ticket:t14');
INSERT INTO "thing" VALUES('ticket:t2','','','ticket:t2');
INSERT INTO "thing" VALUES('ticket:t6','','','ticket:t6');
INSERT INTO "thing" VALUES('ticket:t9','','','ticket:t9');
CREATE TABLE voided (
	event TEXT NOT NULL, 
	PRIMARY KEY (event), 
	FOREIGN KEY(event) REFERENCES event (id)
)
 WITHOUT ROWID

;
INSERT INTO "voided" VALUES('019ca874-4c80-7000-8000-0000000bcc2f');
INSERT INTO "voided" VALUES('019ca878-e060-7000-8000-000000074f05');
INSERT INTO "voided" VALUES('019ca87b-9f80-7000-8000-00000002f33c');
INSERT INTO "voided" VALUES('019ca880-3360-7000-8000-000000027c44');
INSERT INTO "voided" VALUES('019ca882-f280-7000-8000-0000000c6e12');
INSERT INTO "voided" VALUES('019ca885-b1a0-7000-8000-000000056d6b');
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
INSERT INTO "word" VALUES('bin:bucket~02af2f','capacity_l','7.5','2026-03-01T12:36:00.000001Z','019ca965-ff80-7d73-b7ca-0ee0f08f60d6');
INSERT INTO "word" VALUES('bin:bucket~02af2f','grade','motors','2026-03-01T12:36:00.000001Z','019ca965-ff80-7d73-b7ca-0ee0f08f60d6');
INSERT INTO "word" VALUES('bin:bucket~02af2f','name','by the door','2026-03-01T12:36:00.000001Z','019ca965-ff80-7d73-b7ca-0ee0f08f60d6');
INSERT INTO "word" VALUES('bin:bucket~acd708','capacity_l','','2026-03-01T10:02:00.000000Z','019ca8d9-01c0-7e79-9d33-2f584dacd708');
INSERT INTO "word" VALUES('bin:bucket~acd708','grade','light-iron','2026-03-01T10:02:00.000000Z','019ca8d9-01c0-7e79-9d33-2f584dacd708');
INSERT INTO "word" VALUES('bin:bucket~acd708','name','','2026-03-01T10:02:00.000000Z','019ca8d9-01c0-7e79-9d33-2f584dacd708');
INSERT INTO "word" VALUES('bin:crate','capacity_l','20','2026-03-01T08:00:00.000000Z','019ca87a-b520-7000-8000-00000005a3de');
INSERT INTO "word" VALUES('bin:crate','grade','copper-2','2026-03-01T08:00:00.000000Z','019ca87a-b520-7000-8000-00000005a3de');
INSERT INTO "word" VALUES('bin:crate','name','by the door','2026-03-01T08:00:00.000000Z','019ca87a-b520-7000-8000-00000005a3de');
INSERT INTO "word" VALUES('bin:crate~06865f','capacity_l','','2026-03-01T12:37:00.000000Z','019ca966-e9e0-7953-8a63-aeb6fa06865f');
INSERT INTO "word" VALUES('bin:crate~06865f','grade','light-iron','2026-03-01T12:37:00.000000Z','019ca966-e9e0-7953-8a63-aeb6fa06865f');
INSERT INTO "word" VALUES('bin:crate~06865f','name','','2026-03-01T12:37:00.000000Z','019ca966-e9e0-7953-8a63-aeb6fa06865f');
INSERT INTO "word" VALUES('bin:crate~945ec2','capacity_l','','2026-03-01T10:03:00.000008Z','019ca8da-d680-7fd4-ae2e-5eb4aa945ec2');
INSERT INTO "word" VALUES('bin:crate~945ec2','grade','light-iron','2026-03-01T10:03:00.000008Z','019ca8da-d680-7fd4-ae2e-5eb4aa945ec2');
INSERT INTO "word" VALUES('bin:crate~945ec2','name','','2026-03-01T10:03:00.000008Z','019ca8da-d680-7fd4-ae2e-5eb4aa945ec2');
INSERT INTO "word" VALUES('bin:drum~69fc6e','capacity_l','','2026-03-01T12:38:00.000000Z','019ca967-d440-7c48-9d5e-e0a35769fc6e');
INSERT INTO "word" VALUES('bin:drum~69fc6e','grade','motors','2026-03-01T12:38:00.000000Z','019ca967-d440-7c48-9d5e-e0a35769fc6e');
INSERT INTO "word" VALUES('bin:drum~69fc6e','name','','2026-03-01T12:38:00.000000Z','019ca967-d440-7c48-9d5e-e0a35769fc6e');
INSERT INTO "word" VALUES('bin:drum~983226','capacity_l','','2026-03-01T10:02:00.000001Z','019ca8d9-01c0-7e79-9d33-2f593f983226');
INSERT INTO "word" VALUES('bin:drum~983226','grade','copper-2','2026-03-01T10:02:00.000001Z','019ca8d9-01c0-7e79-9d33-2f593f983226');
INSERT INTO "word" VALUES('bin:drum~983226','name','','2026-03-01T10:02:00.000001Z','019ca8d9-01c0-7e79-9d33-2f593f983226');
INSERT INTO "word" VALUES('bin:shelf~7333ca','capacity_l','7.5','2026-03-01T10:03:00.000004Z','019ca8da-d680-7fd4-ae2e-5eb2cd72035f');
INSERT INTO "word" VALUES('bin:shelf~7333ca','grade','light-iron','2026-03-01T10:03:00.000004Z','019ca8da-d680-7fd4-ae2e-5eb2cd72035f');
INSERT INTO "word" VALUES('bin:shelf~7333ca','name','by the door','2026-03-01T10:03:00.000004Z','019ca8da-d680-7fd4-ae2e-5eb2cd72035f');
INSERT INTO "word" VALUES('bin:shelf~80f512','capacity_l','','2026-03-01T15:14:00.000000Z','019ca9f6-a6c0-7af5-8750-cece1880f512');
INSERT INTO "word" VALUES('bin:shelf~80f512','grade','copper-2','2026-03-01T15:14:00.000000Z','019ca9f6-a6c0-7af5-8750-cece1880f512');
INSERT INTO "word" VALUES('bin:shelf~80f512','name','','2026-03-01T15:14:00.000000Z','019ca9f6-a6c0-7af5-8750-cece1880f512');
INSERT INTO "word" VALUES('buyer:harbour','terms','{"at":["30.65","-40.57"],"buyer":"harbour","kind":"yard","km":"14.0","minutes":5,"name":"harbour yard","note":"","refuses":["li-ion"],"shipping":[{"cost":"17.00","up_to_mg":20000000}]}','2026-03-01T08:00:00.000000Z','019ca86a-3a60-7000-8000-0000000cad57');
INSERT INTO "word" VALUES('buyer:ridge','terms','{"at":null,"buyer":"ridge","kind":"yard","km":"14.0","minutes":31,"name":"harbour yard","note":"","refuses":["li-ion"],"shipping":[]}','2026-03-01T08:20:00.000000Z','019ca870-a300-7000-8000-000000060740');
INSERT INTO "word" VALUES('find:f1','count','2','2026-03-01T10:01:00.000000Z','019ca8d8-1760-7ee5-849c-c1f7b8d5d780');
INSERT INTO "word" VALUES('find:f1','found','2026-03-01T10:01:00.000000Z','2026-03-01T10:01:00.000000Z','019ca8d8-1760-7ee5-849c-c1f7b8d5d780');
INSERT INTO "word" VALUES('find:f1','kind','desktop-pc','2026-03-01T10:01:00.000000Z','019ca8d8-1760-7ee5-849c-c1f7b8d5d780');
INSERT INTO "word" VALUES('find:f1','source','curb','2026-03-01T10:01:00.000000Z','019ca8d8-1760-7ee5-849c-c1f7b8d5d780');
INSERT INTO "word" VALUES('find:f1','works','no','2026-03-01T10:01:00.000000Z','019ca8d8-1760-7ee5-849c-c1f7b8d5d780');
INSERT INTO "word" VALUES('find:f11','closed','yes','2026-03-01T10:03:00.000006Z','019ca8da-d680-7fd4-ae2e-5eb35972c457');
INSERT INTO "word" VALUES('find:f11','count','1','2026-03-01T10:03:00.000005Z','019ca8da-d680-7fd4-ae2e-5eb2fb2266ff');
INSERT INTO "word" VALUES('find:f11','found','2026-03-01T07:10:00.000000Z','2026-03-01T10:03:00.000005Z','019ca8da-d680-7fd4-ae2e-5eb2fb2266ff');
INSERT INTO "word" VALUES('find:f11','kind','desktop-pc','2026-03-01T10:03:00.000005Z','019ca8da-d680-7fd4-ae2e-5eb2fb2266ff');
INSERT INTO "word" VALUES('find:f11','source','curb','2026-03-01T10:03:00.000005Z','019ca8da-d680-7fd4-ae2e-5eb2fb2266ff');
INSERT INTO "word" VALUES('find:f11','works','no','2026-03-01T10:03:00.000005Z','019ca8da-d680-7fd4-ae2e-5eb2fb2266ff');
INSERT INTO "word" VALUES('find:f3','closed','yes','2026-03-01T12:37:00.000001Z','019ca966-e9e0-7e9a-a753-aa6aec5963e7');
INSERT INTO "word" VALUES('find:f3','count','1','2026-03-01T12:30:00.000000Z','019ca960-8140-7133-8049-e2fa91362376');
INSERT INTO "word" VALUES('find:f3','found','2026-03-01T12:30:00.000000Z','2026-03-01T12:30:00.000000Z','019ca960-8140-7133-8049-e2fa91362376');
INSERT INTO "word" VALUES('find:f3','kind','bread-machine','2026-03-01T12:30:00.000000Z','019ca960-8140-7133-8049-e2fa91362376');
INSERT INTO "word" VALUES('find:f3','source','curb','2026-03-01T12:30:00.000000Z','019ca960-8140-7133-8049-e2fa91362376');
INSERT INTO "word" VALUES('find:f3','works','no','2026-03-01T12:30:00.000000Z','019ca960-8140-7133-8049-e2fa91362376');
INSERT INTO "word" VALUES('find:f5','count','1','2026-03-01T10:03:00.000000Z','019ca8d9-ec20-7f63-bb44-5a3c01a84bf5');
INSERT INTO "word" VALUES('find:f5','found','2026-03-01T10:03:00.000000Z','2026-03-01T10:03:00.000000Z','019ca8d9-ec20-7f63-bb44-5a3c01a84bf5');
INSERT INTO "word" VALUES('find:f5','kind','desktop-pc','2026-03-01T10:03:00.000000Z','019ca8d9-ec20-7f63-bb44-5a3c01a84bf5');
INSERT INTO "word" VALUES('find:f5','source','curb','2026-03-01T10:03:00.000000Z','019ca8d9-ec20-7f63-bb44-5a3c01a84bf5');
INSERT INTO "word" VALUES('find:f5','works','unknown','2026-03-01T10:03:00.000000Z','019ca8d9-ec20-7f63-bb44-5a3c01a84bf5');
INSERT INTO "word" VALUES('haul:h1','km','31.5','2026-03-01T08:20:00.000000Z','019ca87c-89e0-7000-8000-0000000e693b');
INSERT INTO "word" VALUES('haul:h1','minutes','271','2026-03-01T08:20:00.000000Z','019ca87c-89e0-7000-8000-0000000e693b');
INSERT INTO "word" VALUES('haul:h1','status','finished','2026-03-01T08:20:00.000000Z','019ca87c-89e0-7000-8000-0000000e693b');
INSERT INTO "word" VALUES('haul:h1','stops','["harbour"]','2026-03-01T08:20:00.000000Z','019ca87c-89e0-7000-8000-0000000e693b');
INSERT INTO "word" VALUES('haul:h1~8e0105','km','31.5','2026-03-01T14:44:00.000001Z','019ca9db-2f80-796b-9f2e-8b1260250ca9');
INSERT INTO "word" VALUES('haul:h1~8e0105','minutes','103','2026-03-01T14:44:00.000001Z','019ca9db-2f80-796b-9f2e-8b1260250ca9');
INSERT INTO "word" VALUES('haul:h1~8e0105','status','finished','2026-03-01T14:44:00.000001Z','019ca9db-2f80-796b-9f2e-8b1260250ca9');
INSERT INTO "word" VALUES('haul:h1~8e0105','stops','["harbour"]','2026-03-01T14:44:00.000001Z','019ca9db-2f80-796b-9f2e-8b1260250ca9');
INSERT INTO "word" VALUES('haul:h2','km','31.5','2026-03-01T08:00:00.000000Z','019ca881-1dc0-7000-8000-0000000fff64');
INSERT INTO "word" VALUES('haul:h2','minutes','43','2026-03-01T08:00:00.000000Z','019ca881-1dc0-7000-8000-0000000fff64');
INSERT INTO "word" VALUES('haul:h2','status','finished','2026-03-01T08:00:00.000000Z','019ca881-1dc0-7000-8000-0000000fff64');
INSERT INTO "word" VALUES('haul:h2','stops','["harbour"]','2026-03-01T08:00:00.000000Z','019ca881-1dc0-7000-8000-0000000fff64');
INSERT INTO "word" VALUES('quote:depot:copper-2:0','heard','{"buyer":"depot","from_mg":0,"grade":"copper-2","minimum_mg":0,"on":"2026-03-01","price":"29.934","said":"no 2 copper 4.10","unit":"lb"}','2026-03-01T08:20:00.000000Z','019ca876-2140-7000-8000-000000064a76');
INSERT INTO "word" VALUES('quote:depot:motors:22679618','heard','{"buyer":"depot","from_mg":22679618,"grade":"motors","minimum_mg":0,"on":"2026-03-01","price":"466.27","said":"no 2 copper 4.10","unit":"lb"}','2026-03-01T12:35:00.000000Z','019ca965-1520-707b-90de-53b4bf4e2653');
INSERT INTO "word" VALUES('quote:harbour:copper-2:0','heard','{"buyer":"harbour","from_mg":0,"grade":"copper-2","minimum_mg":0,"on":"2026-03-01","price":"0.084011","said":"no 2 copper 4.10","unit":"lb"}','2026-03-01T10:00:00.000001Z','019ca8d7-2d00-7fb4-ad64-08a5998d3670');
INSERT INTO "word" VALUES('quote:harbour:motors:22679618','heard','{"buyer":"harbour","from_mg":22679618,"grade":"motors","minimum_mg":0,"on":"2026-03-01","price":"915.05","said":"no 2 copper 4.10","unit":"lb"}','2026-03-01T12:44:00.000000Z','019ca96d-5280-7989-9788-34e30a982001');
INSERT INTO "word" VALUES('quote:ridge:motors:22679618','heard','{"buyer":"ridge","from_mg":22679618,"grade":"motors","minimum_mg":0,"on":"2026-03-01","price":"4598","said":"no 2 copper 4.10","unit":"lb"}','2026-03-01T08:40:00.000000Z','019ca87d-7440-7000-8000-0000000112c6');
INSERT INTO "word" VALUES('rule:curbside','here','{"card":"curbside","says":"no cash","seen":"2025-11-04","source":"notice, at the yard"}','2026-03-01T09:00:00.000000Z','019ca884-c740-7000-8000-0000000f8fbf');
INSERT INTO "word" VALUES('rule:payment','here','{"card":"payment","says":"by cheque","seen":"2025-03-30","source":"notice, at the yard"}','2026-03-01T08:01:00.000000Z','019ca86a-3a60-745f-a32c-c5b953a079f0');
INSERT INTO "word" VALUES('setting:bench','value','19','2026-03-01T08:00:00.000000Z','019ca882-0820-7000-8000-000000024fdd');
INSERT INTO "word" VALUES('setting:wage','value','2','2026-03-01T08:20:00.000000Z','019ca872-77c0-7000-8000-00000006d2e3');
INSERT INTO "word" VALUES('ticket:t14','printed','{"buyer":"harbour","deductions":[{"amount":"48.29","what":"moisture"}],"haul":null,"lines":[{"amount":"828.60","bin":"shelf~7333ca","grade":"copper-2","mass_mg":2176832,"own_mg":2176832,"price":"4.10","unit":"lb"},{"amount":"22424.88","bin":"crate~945ec2","grade":"motors","mass_mg":430390,"own_mg":430390,"price":"4.10","unit":"lb"}],"number":"","ticket":"t14","total":"23205.19"}','2026-03-01T10:03:00.000009Z','019ca8da-d680-7fd4-ae2e-5eb4fabf914a');
INSERT INTO "word" VALUES('ticket:t2','printed','{"buyer":"depot","deductions":[{"amount":"57.741","what":"moisture"}],"haul":null,"lines":[{"amount":"77984.92","bin":"drum","grade":"copper-2","mass_mg":149538,"own_mg":149538,"price":"4.10","unit":"lb"}],"number":"","ticket":"t2","total":"77927.179"}','2026-03-01T08:20:00.000000Z','019ca86b-24c0-7000-8000-000000077a06');
INSERT INTO "word" VALUES('ticket:t6','printed','{"buyer":"harbour","deductions":[{"amount":"884.61","what":"moisture"}],"haul":null,"lines":[{"amount":"-815.457","bin":"shelf","grade":"light-iron","mass_mg":1666918,"own_mg":2973338,"price":"4.10","unit":"lb"}],"number":"","ticket":"t6","total":"-1700.067"}','2026-03-01T08:40:00.000000Z','019ca86e-ce40-7000-8000-00000002c9e2');
INSERT INTO "word" VALUES('ticket:t9','printed','{"buyer":"depot","deductions":[{"amount":"776.91","what":"moisture"}],"haul":null,"lines":[{"amount":"550.88","bin":"shelf","grade":"motors","mass_mg":488669,"own_mg":1609571,"price":"4.10","unit":"lb"}],"number":"","ticket":"t9","total":"-226.03"}','2026-03-01T08:00:00.000000Z','019ca871-8d60-7000-8000-00000006be23');
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
COMMIT;
