BEGIN TRANSACTION;
CREATE TABLE about (
	subject TEXT NOT NULL, 
	event TEXT NOT NULL, 
	PRIMARY KEY (subject, event), 
	FOREIGN KEY(event) REFERENCES event (id)
)
 WITHOUT ROWID

;
INSERT INTO "about" VALUES('bin:bucket','019ca876-2140-7000-8000-0000000be4ff');
INSERT INTO "about" VALUES('bin:bucket','019ca87b-9f80-7000-8000-00000001ef40');
INSERT INTO "about" VALUES('bin:crate','019ca872-77c0-7000-8000-0000000ac7d3');
INSERT INTO "about" VALUES('bin:crate','019ca87a-b520-7000-8000-0000000686fe');
INSERT INTO "about" VALUES('bin:crate','019ca87c-89e0-7000-8000-0000000f6e79');
INSERT INTO "about" VALUES('bin:drum','019ca86c-0f20-7000-8000-00000006162f');
INSERT INTO "about" VALUES('bin:drum','019ca876-2140-7000-8000-0000000be4ff');
INSERT INTO "about" VALUES('bin:drum','019ca880-3360-7000-8000-0000000d51e3');
INSERT INTO "about" VALUES('bin:shelf','019ca869-5000-7000-8000-00000005e8bc');
INSERT INTO "about" VALUES('bin:shelf','019ca875-36e0-7000-8000-00000009bb8e');
INSERT INTO "about" VALUES('bin:shelf','019ca879-cac0-7000-8000-000000023369');
INSERT INTO "about" VALUES('bin:shelf','019ca87a-b520-7000-8000-0000000686fe');
INSERT INTO "about" VALUES('buyer:depot','019ca86b-24c0-7000-8000-000000050a31');
INSERT INTO "about" VALUES('buyer:depot','019ca878-e060-7000-8000-0000000c8813');
INSERT INTO "about" VALUES('buyer:harbour','019ca876-2140-7000-8000-0000000be4ff');
INSERT INTO "about" VALUES('buyer:ridge','019ca874-4c80-7000-8000-000000060740');
INSERT INTO "about" VALUES('buyer:ridge','019ca877-0ba0-7000-8000-00000009f22a');
INSERT INTO "about" VALUES('buyer:ridge','019ca87c-89e0-7000-8000-0000000f6e79');
INSERT INTO "about" VALUES('event:019ca86b-24c0-7000-8000-000000050a31','019ca887-8660-7000-8000-00000008db83');
INSERT INTO "about" VALUES('event:019ca86f-b8a0-7000-8000-00000000f3ba','019ca888-70c0-7000-8000-0000000f1550');
INSERT INTO "about" VALUES('event:019ca870-a300-7000-8000-0000000c5e51','019ca886-9c00-7000-8000-0000000fe30e');
INSERT INTO "about" VALUES('event:019ca874-4c80-7000-8000-000000060740','019ca885-b1a0-7000-8000-0000000a20a9');
INSERT INTO "about" VALUES('event:019ca875-36e0-7000-8000-00000009bb8e','019ca889-5b20-7000-8000-0000000c3dd5');
INSERT INTO "about" VALUES('event:019ca87b-9f80-7000-8000-00000001ef40','019ca884-c740-7000-8000-0000000668ca');
INSERT INTO "about" VALUES('find:f23','019ca87e-5ea0-7000-8000-000000027c44');
INSERT INTO "about" VALUES('find:f23','019ca883-dce0-7000-8000-0000000804e8');
INSERT INTO "about" VALUES('find:f24','019ca87f-4900-7000-8000-0000000065f7');
INSERT INTO "about" VALUES('find:f9','019ca871-8d60-7000-8000-0000000c03cb');
INSERT INTO "about" VALUES('find:f9','019ca875-36e0-7000-8000-00000009bb8e');
INSERT INTO "about" VALUES('find:f9','019ca877-f600-7000-8000-0000000d7c93');
INSERT INTO "about" VALUES('find:f9','019ca882-f280-7000-8000-0000000af5f5');
INSERT INTO "about" VALUES('setting:bench','019ca881-1dc0-7000-8000-00000002ae58');
INSERT INTO "about" VALUES('setting:wage','019ca86f-b8a0-7000-8000-00000000f3ba');
INSERT INTO "about" VALUES('ticket:t14','019ca876-2140-7000-8000-0000000be4ff');
INSERT INTO "about" VALUES('ticket:t21','019ca87c-89e0-7000-8000-0000000f6e79');
CREATE TABLE account (
	name TEXT NOT NULL, 
	amount TEXT NOT NULL, 
	PRIMARY KEY (name)
)
 WITHOUT ROWID

;
INSERT INTO "account" VALUES('deductions:harbour','-2.032');
INSERT INTO "account" VALUES('deductions:ridge','-2.786');
INSERT INTO "account" VALUES('minutes:bench','231');
INSERT INTO "account" VALUES('minutes:list','34');
INSERT INTO "account" VALUES('minutes:other','203');
INSERT INTO "account" VALUES('parts','477.001');
INSERT INTO "account" VALUES('parts-fees','-88.909767');
INSERT INTO "account" VALUES('parts-postage','-535.381');
INSERT INTO "account" VALUES('sales:harbour','32245.009');
INSERT INTO "account" VALUES('sales:ridge','-40868.005829');
INSERT INTO "account" VALUES('spent:blades','-17924.85');
INSERT INTO "account" VALUES('spent:fuel','-63647.08');
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0001');
CREATE TABLE balance (
	place TEXT NOT NULL, 
	grade TEXT NOT NULL, 
	mg BIGINT NOT NULL, 
	PRIMARY KEY (place, grade)
)
 WITHOUT ROWID

;
INSERT INTO "balance" VALUES('bin:bucket','light-iron',-307855);
INSERT INTO "balance" VALUES('bin:crate','copper-2',-1518946);
INSERT INTO "balance" VALUES('bin:crate','light-iron',621932);
INSERT INTO "balance" VALUES('bin:crate','motors',-147138);
INSERT INTO "balance" VALUES('bin:drum','copper-2',-613872);
INSERT INTO "balance" VALUES('bin:drum','motors',7756465);
INSERT INTO "balance" VALUES('bin:shelf','copper-2',4260081);
INSERT INTO "balance" VALUES('bin:shelf','light-iron',-4260081);
INSERT INTO "balance" VALUES('bin:shelf','motors',-621932);
INSERT INTO "balance" VALUES('buyer:harbour','copper-2',894407);
INSERT INTO "balance" VALUES('buyer:harbour','light-iron',307855);
INSERT INTO "balance" VALUES('buyer:ridge','copper-2',580526);
INSERT INTO "balance" VALUES('buyer:ridge','motors',75053);
INSERT INTO "balance" VALUES('find:f23','',5485488);
INSERT INTO "balance" VALUES('find:f24','',243816);
INSERT INTO "balance" VALUES('find:f9','',9143);
INSERT INTO "balance" VALUES('loss','',-7026495);
INSERT INTO "balance" VALUES('outside','',-7008993);
INSERT INTO "balance" VALUES('people','',1270546);
CREATE TABLE correction (
	target TEXT NOT NULL, 
	event TEXT NOT NULL, 
	PRIMARY KEY (target, event), 
	FOREIGN KEY(event) REFERENCES event (id)
)
 WITHOUT ROWID

;
INSERT INTO "correction" VALUES('019ca86b-24c0-7000-8000-000000050a31','019ca887-8660-7000-8000-00000008db83');
INSERT INTO "correction" VALUES('019ca86f-b8a0-7000-8000-00000000f3ba','019ca888-70c0-7000-8000-0000000f1550');
INSERT INTO "correction" VALUES('019ca870-a300-7000-8000-0000000c5e51','019ca886-9c00-7000-8000-0000000fe30e');
INSERT INTO "correction" VALUES('019ca874-4c80-7000-8000-000000060740','019ca885-b1a0-7000-8000-0000000a20a9');
INSERT INTO "correction" VALUES('019ca875-36e0-7000-8000-00000009bb8e','019ca889-5b20-7000-8000-0000000c3dd5');
INSERT INTO "correction" VALUES('019ca87b-9f80-7000-8000-00000001ef40','019ca884-c740-7000-8000-0000000668ca');
CREATE TABLE entry (
	event TEXT NOT NULL, 
	account TEXT NOT NULL, 
	amount TEXT NOT NULL, 
	tag TEXT NOT NULL, 
	live BOOLEAN NOT NULL, 
	FOREIGN KEY(event) REFERENCES event (id)
);
INSERT INTO "entry" VALUES('019ca86a-3a60-7000-8000-00000003030f','minutes:other','203','',1);
INSERT INTO "entry" VALUES('019ca86c-f980-7000-8000-000000064012','spent:fuel','-608.08','a day''s worth',1);
INSERT INTO "entry" VALUES('019ca86d-e3e0-7000-8000-00000002b83a','minutes:bench','127','',1);
INSERT INTO "entry" VALUES('019ca86e-ce40-7000-8000-0000000820b9','minutes:bench','104','',1);
INSERT INTO "entry" VALUES('019ca870-a300-7000-8000-0000000c5e51','spent:fuel','-52481','a day''s worth',0);
INSERT INTO "entry" VALUES('019ca873-6220-7000-8000-000000044e9d','spent:blades','-19.85','a day''s worth',1);
INSERT INTO "entry" VALUES('019ca875-36e0-7000-8000-00000009bb8e','minutes:bench','27','f9',0);
INSERT INTO "entry" VALUES('019ca876-2140-7000-8000-0000000be4ff','sales:harbour','33052.03','copper-2',1);
INSERT INTO "entry" VALUES('019ca876-2140-7000-8000-0000000be4ff','sales:harbour','-807.021','light-iron',1);
INSERT INTO "entry" VALUES('019ca876-2140-7000-8000-0000000be4ff','deductions:harbour','-2.032','moisture',1);
INSERT INTO "entry" VALUES('019ca877-f600-7000-8000-0000000d7c93','parts','82.441','f9',1);
INSERT INTO "entry" VALUES('019ca877-f600-7000-8000-0000000d7c93','parts-fees','-0.025767','f9',1);
INSERT INTO "entry" VALUES('019ca877-f600-7000-8000-0000000d7c93','parts-postage','-508.83','f9',1);
INSERT INTO "entry" VALUES('019ca877-f600-7000-8000-0000000d7c93','minutes:list','23','f9',1);
INSERT INTO "entry" VALUES('019ca87c-89e0-7000-8000-0000000f6e79','sales:ridge','-0.052683','copper-2',1);
INSERT INTO "entry" VALUES('019ca87c-89e0-7000-8000-0000000f6e79','sales:ridge','-40867.953146','motors',1);
INSERT INTO "entry" VALUES('019ca87c-89e0-7000-8000-0000000f6e79','deductions:ridge','-2.786','moisture',1);
INSERT INTO "entry" VALUES('019ca87d-7440-7000-8000-0000000e7fb8','spent:blades','-17905','a day''s worth',1);
INSERT INTO "entry" VALUES('019ca882-0820-7000-8000-000000039cc0','spent:fuel','-63039','a day''s worth',1);
INSERT INTO "entry" VALUES('019ca882-f280-7000-8000-0000000af5f5','parts','394.56','f9',1);
INSERT INTO "entry" VALUES('019ca882-f280-7000-8000-0000000af5f5','parts-fees','-88.884','f9',1);
INSERT INTO "entry" VALUES('019ca882-f280-7000-8000-0000000af5f5','parts-postage','-26.551','f9',1);
INSERT INTO "entry" VALUES('019ca882-f280-7000-8000-0000000af5f5','minutes:list','11','f9',1);
CREATE TABLE event (
	id TEXT NOT NULL, 
	kind TEXT NOT NULL, 
	who TEXT NOT NULL, 
	happened TEXT NOT NULL, 
	typed TEXT NOT NULL, 
	schema INTEGER NOT NULL, 
	data TEXT NOT NULL, 
	PRIMARY KEY (id)
)
 WITHOUT ROWID

;
INSERT INTO "event" VALUES('019ca869-5000-7000-8000-00000005e8bc','moved','mate','2026-03-01T08:20:00.000000Z','2026-03-01T08:00:00.000000Z',1,'{"bin":"shelf","grade":"light-iron","mass_mg":4260081,"to_bin":"shelf","to_grade":"copper-2"}');
INSERT INTO "event" VALUES('019ca86a-3a60-7000-8000-00000003030f','worked','mate','2026-03-01T08:20:00.000000Z','2026-03-01T08:01:00.000000Z',1,'{"activity":"other","find":null,"minutes":203,"note":""}');
INSERT INTO "event" VALUES('019ca86b-24c0-7000-8000-000000050a31','quoted','me','2026-03-01T09:00:00.000000Z','2026-03-01T08:02:00.000000Z',1,'{"buyer":"depot","from_mg":0,"grade":"light-iron","minimum_mg":0,"on":"2026-03-01","price":"11.884","said":"no 2 copper 4.10","unit":"lb"}');
INSERT INTO "event" VALUES('019ca86c-0f20-7000-8000-00000006162f','binned','me','2026-03-01T08:00:00.000000Z','2026-03-01T08:03:00.000000Z',1,'{"bin":"drum","capacity_l":"7.5","grade":"copper-2","name":"by the door"}');
INSERT INTO "event" VALUES('019ca86c-f980-7000-8000-000000064012','spent','me','2026-03-01T09:00:00.000000Z','2026-03-01T08:04:00.000000Z',1,'{"amount":"608.08","category":"fuel","what":"a day''s worth"}');
INSERT INTO "event" VALUES('019ca86d-e3e0-7000-8000-00000002b83a','worked','mate','2026-03-01T08:00:00.000000Z','2026-03-01T08:05:00.000000Z',1,'{"activity":"bench","find":null,"minutes":127,"note":""}');
INSERT INTO "event" VALUES('019ca86e-ce40-7000-8000-0000000820b9','worked','mate','2026-03-01T08:00:00.000000Z','2026-03-01T08:06:00.000000Z',1,'{"activity":"bench","find":null,"minutes":104,"note":""}');
INSERT INTO "event" VALUES('019ca86f-b8a0-7000-8000-00000000f3ba','set','me','2026-03-01T08:40:00.000000Z','2026-03-01T08:07:00.000000Z',1,'{"name":"wage","value":"17"}');
INSERT INTO "event" VALUES('019ca870-a300-7000-8000-0000000c5e51','spent','me','2026-03-01T08:40:00.000000Z','2026-03-01T08:08:00.000000Z',1,'{"amount":"52481","category":"fuel","what":"a day''s worth"}');
INSERT INTO "event" VALUES('019ca871-8d60-7000-8000-0000000c03cb','found','mate','2026-03-01T09:00:00.000000Z','2026-03-01T08:09:00.000000Z',1,'{"count":1,"find":"f9","kind":"fan","mass_mg":9143,"note":"","photo":"","source":"curb","works":"yes"}');
INSERT INTO "event" VALUES('019ca872-77c0-7000-8000-0000000ac7d3','binned','me','2026-03-01T08:40:00.000000Z','2026-03-01T08:10:00.000000Z',1,'{"bin":"crate","capacity_l":null,"grade":"motors","name":"by the door"}');
INSERT INTO "event" VALUES('019ca873-6220-7000-8000-000000044e9d','spent','me','2026-03-01T08:00:00.000000Z','2026-03-01T08:11:00.000000Z',1,'{"amount":"19.85","category":"blades","what":"a day''s worth"}');
INSERT INTO "event" VALUES('019ca874-4c80-7000-8000-000000060740','traded','mate','2026-03-01T08:20:00.000000Z','2026-03-01T08:12:00.000000Z',1,'{"at":null,"buyer":"ridge","kind":"yard","km":"14.0","minutes":31,"name":"harbour yard","note":"","refuses":["li-ion"],"shipping":[]}');
INSERT INTO "event" VALUES('019ca875-36e0-7000-8000-00000009bb8e','opened','me','2026-03-01T08:40:00.000000Z','2026-03-01T08:13:00.000000Z',1,'{"closes":false,"find":"f9","loss_mg":27574,"minutes":27,"pieces":[{"bin":"shelf","count":1,"grade":"motors","mass_mg":804785,"piece":"piece0"}],"residue_mg":207016,"runs":[{"operation":"open","piece":"whole","times":1}],"was_mg":9143}');
INSERT INTO "event" VALUES('019ca876-2140-7000-8000-0000000be4ff','ticketed','mate','2026-03-01T08:40:00.000000Z','2026-03-01T08:14:00.000000Z',1,'{"buyer":"harbour","deductions":[{"amount":"2.032","what":"moisture"}],"haul":null,"lines":[{"amount":"33052.03","bin":"drum","grade":"copper-2","mass_mg":894407,"own_mg":613872,"price":"4.10","unit":"lb"},{"amount":"-807.021","bin":"bucket","grade":"light-iron","mass_mg":307855,"own_mg":307855,"price":"4.10","unit":"lb"}],"number":"","ticket":"t14","total":"32242.977"}');
INSERT INTO "event" VALUES('019ca877-0ba0-7000-8000-00000009f22a','quoted','me','2026-03-01T08:20:00.000000Z','2026-03-01T08:15:00.000000Z',1,'{"buyer":"ridge","from_mg":0,"grade":"copper-2","minimum_mg":0,"on":"2026-03-01","price":"63.402","said":"no 2 copper 4.10","unit":"lb"}');
INSERT INTO "event" VALUES('019ca877-f600-7000-8000-0000000d7c93','sold','me','2026-03-01T08:00:00.000000Z','2026-03-01T08:16:00.000000Z',1,'{"closes":false,"count":1,"fee":"0.025767","find":"f9","mass_mg":760627,"minutes":23,"postage":"508.83","price":"82.441","was_mg":0,"what":"motor"}');
INSERT INTO "event" VALUES('019ca878-e060-7000-8000-0000000c8813','traded','mate','2026-03-01T08:20:00.000000Z','2026-03-01T08:17:00.000000Z',1,'{"at":null,"buyer":"depot","kind":"yard","km":"14.0","minutes":16,"name":"harbour yard","note":"","refuses":["li-ion"],"shipping":[]}');
INSERT INTO "event" VALUES('019ca879-cac0-7000-8000-000000023369','binned','me','2026-03-01T08:20:00.000000Z','2026-03-01T08:18:00.000000Z',1,'{"bin":"shelf","capacity_l":"7.5","grade":"light-iron","name":"by the door"}');
INSERT INTO "event" VALUES('019ca87a-b520-7000-8000-0000000686fe','moved','me','2026-03-01T08:20:00.000000Z','2026-03-01T08:19:00.000000Z',1,'{"bin":"shelf","grade":"motors","mass_mg":621932,"to_bin":"crate","to_grade":"light-iron"}');
INSERT INTO "event" VALUES('019ca87b-9f80-7000-8000-00000001ef40','recounted','me','2026-03-01T08:20:00.000000Z','2026-03-01T08:20:00.000000Z',1,'{"bin":"bucket","grade":"light-iron","mass_mg":29910791,"was_mg":-307855}');
INSERT INTO "event" VALUES('019ca87c-89e0-7000-8000-0000000f6e79','ticketed','me','2026-03-01T08:00:00.000000Z','2026-03-01T08:21:00.000000Z',1,'{"buyer":"ridge","deductions":[{"amount":"2.786","what":"moisture"}],"haul":null,"lines":[{"amount":"-0.052683","bin":"crate","grade":"copper-2","mass_mg":580526,"own_mg":1518946,"price":"4.10","unit":"lb"},{"amount":"-40867.953146","bin":"crate","grade":"motors","mass_mg":75053,"own_mg":147138,"price":"4.10","unit":"lb"}],"number":"","ticket":"t21","total":"-40870.791829"}');
INSERT INTO "event" VALUES('019ca87d-7440-7000-8000-0000000e7fb8','spent','mate','2026-03-01T08:00:00.000000Z','2026-03-01T08:22:00.000000Z',1,'{"amount":"17905","category":"blades","what":"a day''s worth"}');
INSERT INTO "event" VALUES('019ca87e-5ea0-7000-8000-000000027c44','found','mate','2026-03-01T09:00:00.000000Z','2026-03-01T08:23:00.000000Z',1,'{"count":2,"find":"f23","kind":"bread-machine","mass_mg":2173396,"note":"","photo":"","source":"curb","works":"yes"}');
INSERT INTO "event" VALUES('019ca87f-4900-7000-8000-0000000065f7','found','me','2026-03-01T09:00:00.000000Z','2026-03-01T08:24:00.000000Z',1,'{"count":3,"find":"f24","kind":"desktop-pc","mass_mg":243816,"note":"","photo":"","source":"curb","works":"no"}');
INSERT INTO "event" VALUES('019ca880-3360-7000-8000-0000000d51e3','recounted','mate','2026-03-01T08:40:00.000000Z','2026-03-01T08:25:00.000000Z',1,'{"bin":"drum","grade":"motors","mass_mg":7756465,"was_mg":0}');
INSERT INTO "event" VALUES('019ca881-1dc0-7000-8000-00000002ae58','set','me','2026-03-01T09:00:00.000000Z','2026-03-01T08:26:00.000000Z',1,'{"name":"bench","value":"15"}');
INSERT INTO "event" VALUES('019ca882-0820-7000-8000-000000039cc0','spent','mate','2026-03-01T08:20:00.000000Z','2026-03-01T08:27:00.000000Z',1,'{"amount":"63039","category":"fuel","what":"a day''s worth"}');
INSERT INTO "event" VALUES('019ca882-f280-7000-8000-0000000af5f5','sold','mate','2026-03-01T08:20:00.000000Z','2026-03-01T08:28:00.000000Z',1,'{"closes":true,"count":1,"fee":"88.884","find":"f9","mass_mg":509919,"minutes":11,"postage":"26.551","price":"394.56","was_mg":0,"what":"motor"}');
INSERT INTO "event" VALUES('019ca883-dce0-7000-8000-0000000804e8','weighed','me','2026-03-01T09:00:00.000000Z','2026-03-01T08:29:00.000000Z',1,'{"find":"f23","mass_mg":5485488,"was_mg":2173396}');
INSERT INTO "event" VALUES('019ca884-c740-7000-8000-0000000668ca','corrected','me','2026-03-01T09:00:00.000000Z','2026-03-01T08:30:00.000000Z',1,'{"event":"019ca87b-9f80-7000-8000-00000001ef40","instead":null,"why":"slip of the thumb"}');
INSERT INTO "event" VALUES('019ca885-b1a0-7000-8000-0000000a20a9','corrected','me','2026-03-01T08:20:00.000000Z','2026-03-01T08:31:00.000000Z',1,'{"event":"019ca874-4c80-7000-8000-000000060740","instead":null,"why":"slip of the thumb"}');
INSERT INTO "event" VALUES('019ca886-9c00-7000-8000-0000000fe30e','corrected','mate','2026-03-01T08:20:00.000000Z','2026-03-01T08:32:00.000000Z',1,'{"event":"019ca870-a300-7000-8000-0000000c5e51","instead":null,"why":"slip of the thumb"}');
INSERT INTO "event" VALUES('019ca887-8660-7000-8000-00000008db83','corrected','me','2026-03-01T08:00:00.000000Z','2026-03-01T08:33:00.000000Z',1,'{"event":"019ca86b-24c0-7000-8000-000000050a31","instead":null,"why":"slip of the thumb"}');
INSERT INTO "event" VALUES('019ca888-70c0-7000-8000-0000000f1550','corrected','mate','2026-03-01T09:00:00.000000Z','2026-03-01T08:34:00.000000Z',1,'{"event":"019ca86f-b8a0-7000-8000-00000000f3ba","instead":null,"why":"slip of the thumb"}');
INSERT INTO "event" VALUES('019ca889-5b20-7000-8000-0000000c3dd5','corrected','mate','2026-03-01T09:00:00.000000Z','2026-03-01T08:35:00.000000Z',1,'{"event":"019ca875-36e0-7000-8000-00000009bb8e","instead":null,"why":"slip of the thumb"}');
CREATE TABLE fact (
	event TEXT NOT NULL, 
	subject TEXT NOT NULL, 
	name TEXT NOT NULL, 
	value TEXT NOT NULL, 
	happened TEXT NOT NULL, 
	live BOOLEAN NOT NULL, 
	FOREIGN KEY(event) REFERENCES event (id)
);
INSERT INTO "fact" VALUES('019ca86b-24c0-7000-8000-000000050a31','quote:depot:light-iron:0','heard','{"buyer":"depot","from_mg":0,"grade":"light-iron","minimum_mg":0,"on":"2026-03-01","price":"11.884","said":"no 2 copper 4.10","unit":"lb"}','2026-03-01T09:00:00.000000Z',0);
INSERT INTO "fact" VALUES('019ca86c-0f20-7000-8000-00000006162f','bin:drum','grade','copper-2','2026-03-01T08:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca86c-0f20-7000-8000-00000006162f','bin:drum','name','by the door','2026-03-01T08:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca86c-0f20-7000-8000-00000006162f','bin:drum','capacity_l','7.5','2026-03-01T08:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca86f-b8a0-7000-8000-00000000f3ba','setting:wage','value','17','2026-03-01T08:40:00.000000Z',0);
INSERT INTO "fact" VALUES('019ca871-8d60-7000-8000-0000000c03cb','find:f9','kind','fan','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca871-8d60-7000-8000-0000000c03cb','find:f9','count','1','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca871-8d60-7000-8000-0000000c03cb','find:f9','works','yes','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca871-8d60-7000-8000-0000000c03cb','find:f9','source','curb','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca871-8d60-7000-8000-0000000c03cb','find:f9','found','2026-03-01T09:00:00.000000Z','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca872-77c0-7000-8000-0000000ac7d3','bin:crate','grade','motors','2026-03-01T08:40:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca872-77c0-7000-8000-0000000ac7d3','bin:crate','name','by the door','2026-03-01T08:40:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca872-77c0-7000-8000-0000000ac7d3','bin:crate','capacity_l','','2026-03-01T08:40:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca874-4c80-7000-8000-000000060740','buyer:ridge','terms','{"at":null,"buyer":"ridge","kind":"yard","km":"14.0","minutes":31,"name":"harbour yard","note":"","refuses":["li-ion"],"shipping":[]}','2026-03-01T08:20:00.000000Z',0);
INSERT INTO "fact" VALUES('019ca876-2140-7000-8000-0000000be4ff','ticket:t14','printed','{"buyer":"harbour","deductions":[{"amount":"2.032","what":"moisture"}],"haul":null,"lines":[{"amount":"33052.03","bin":"drum","grade":"copper-2","mass_mg":894407,"own_mg":613872,"price":"4.10","unit":"lb"},{"amount":"-807.021","bin":"bucket","grade":"light-iron","mass_mg":307855,"own_mg":307855,"price":"4.10","unit":"lb"}],"number":"","ticket":"t14","total":"32242.977"}','2026-03-01T08:40:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca877-0ba0-7000-8000-00000009f22a','quote:ridge:copper-2:0','heard','{"buyer":"ridge","from_mg":0,"grade":"copper-2","minimum_mg":0,"on":"2026-03-01","price":"63.402","said":"no 2 copper 4.10","unit":"lb"}','2026-03-01T08:20:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca878-e060-7000-8000-0000000c8813','buyer:depot','terms','{"at":null,"buyer":"depot","kind":"yard","km":"14.0","minutes":16,"name":"harbour yard","note":"","refuses":["li-ion"],"shipping":[]}','2026-03-01T08:20:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca879-cac0-7000-8000-000000023369','bin:shelf','grade','light-iron','2026-03-01T08:20:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca879-cac0-7000-8000-000000023369','bin:shelf','name','by the door','2026-03-01T08:20:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca879-cac0-7000-8000-000000023369','bin:shelf','capacity_l','7.5','2026-03-01T08:20:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca87c-89e0-7000-8000-0000000f6e79','ticket:t21','printed','{"buyer":"ridge","deductions":[{"amount":"2.786","what":"moisture"}],"haul":null,"lines":[{"amount":"-0.052683","bin":"crate","grade":"copper-2","mass_mg":580526,"own_mg":1518946,"price":"4.10","unit":"lb"},{"amount":"-40867.953146","bin":"crate","grade":"motors","mass_mg":75053,"own_mg":147138,"price":"4.10","unit":"lb"}],"number":"","ticket":"t21","total":"-40870.791829"}','2026-03-01T08:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca87e-5ea0-7000-8000-000000027c44','find:f23','kind','bread-machine','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca87e-5ea0-7000-8000-000000027c44','find:f23','count','2','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca87e-5ea0-7000-8000-000000027c44','find:f23','works','yes','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca87e-5ea0-7000-8000-000000027c44','find:f23','source','curb','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca87e-5ea0-7000-8000-000000027c44','find:f23','found','2026-03-01T09:00:00.000000Z','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca87f-4900-7000-8000-0000000065f7','find:f24','kind','desktop-pc','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca87f-4900-7000-8000-0000000065f7','find:f24','count','3','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca87f-4900-7000-8000-0000000065f7','find:f24','works','no','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca87f-4900-7000-8000-0000000065f7','find:f24','source','curb','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca87f-4900-7000-8000-0000000065f7','find:f24','found','2026-03-01T09:00:00.000000Z','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca881-1dc0-7000-8000-00000002ae58','setting:bench','value','15','2026-03-01T09:00:00.000000Z',1);
INSERT INTO "fact" VALUES('019ca882-f280-7000-8000-0000000af5f5','find:f9','closed','yes','2026-03-01T08:20:00.000000Z',1);
CREATE TABLE move (
	event TEXT NOT NULL, 
	source TEXT NOT NULL, 
	target TEXT NOT NULL, 
	grade TEXT NOT NULL, 
	mg BIGINT NOT NULL, 
	live BOOLEAN NOT NULL, 
	FOREIGN KEY(event) REFERENCES event (id)
);
INSERT INTO "move" VALUES('019ca869-5000-7000-8000-00000005e8bc','bin:shelf','regraded','light-iron',4260081,1);
INSERT INTO "move" VALUES('019ca869-5000-7000-8000-00000005e8bc','regraded','bin:shelf','copper-2',4260081,1);
INSERT INTO "move" VALUES('019ca871-8d60-7000-8000-0000000c03cb','outside','find:f9','',9143,1);
INSERT INTO "move" VALUES('019ca875-36e0-7000-8000-00000009bb8e','outside','find:f9','',1030232,0);
INSERT INTO "move" VALUES('019ca875-36e0-7000-8000-00000009bb8e','find:f9','bin:shelf','motors',804785,0);
INSERT INTO "move" VALUES('019ca875-36e0-7000-8000-00000009bb8e','find:f9','residue','',207016,0);
INSERT INTO "move" VALUES('019ca875-36e0-7000-8000-00000009bb8e','find:f9','loss','',27574,0);
INSERT INTO "move" VALUES('019ca876-2140-7000-8000-0000000be4ff','bin:drum','buyer:harbour','copper-2',894407,1);
INSERT INTO "move" VALUES('019ca876-2140-7000-8000-0000000be4ff','loss','bin:drum','copper-2',280535,1);
INSERT INTO "move" VALUES('019ca876-2140-7000-8000-0000000be4ff','bin:bucket','buyer:harbour','light-iron',307855,1);
INSERT INTO "move" VALUES('019ca877-f600-7000-8000-0000000d7c93','outside','find:f9','',760627,1);
INSERT INTO "move" VALUES('019ca877-f600-7000-8000-0000000d7c93','find:f9','people','',760627,1);
INSERT INTO "move" VALUES('019ca87a-b520-7000-8000-0000000686fe','bin:shelf','regraded','motors',621932,1);
INSERT INTO "move" VALUES('019ca87a-b520-7000-8000-0000000686fe','regraded','bin:crate','light-iron',621932,1);
INSERT INTO "move" VALUES('019ca87b-9f80-7000-8000-00000001ef40','loss','bin:bucket','light-iron',30218646,0);
INSERT INTO "move" VALUES('019ca87c-89e0-7000-8000-0000000f6e79','bin:crate','buyer:ridge','copper-2',580526,1);
INSERT INTO "move" VALUES('019ca87c-89e0-7000-8000-0000000f6e79','bin:crate','loss','copper-2',938420,1);
INSERT INTO "move" VALUES('019ca87c-89e0-7000-8000-0000000f6e79','bin:crate','buyer:ridge','motors',75053,1);
INSERT INTO "move" VALUES('019ca87c-89e0-7000-8000-0000000f6e79','bin:crate','loss','motors',72085,1);
INSERT INTO "move" VALUES('019ca87e-5ea0-7000-8000-000000027c44','outside','find:f23','',2173396,1);
INSERT INTO "move" VALUES('019ca87f-4900-7000-8000-0000000065f7','outside','find:f24','',243816,1);
INSERT INTO "move" VALUES('019ca880-3360-7000-8000-0000000d51e3','loss','bin:drum','motors',7756465,1);
INSERT INTO "move" VALUES('019ca882-f280-7000-8000-0000000af5f5','outside','find:f9','',509919,1);
INSERT INTO "move" VALUES('019ca882-f280-7000-8000-0000000af5f5','find:f9','people','',509919,1);
INSERT INTO "move" VALUES('019ca883-dce0-7000-8000-0000000804e8','outside','find:f23','',3312092,1);
CREATE TABLE voided (
	event TEXT NOT NULL, 
	PRIMARY KEY (event), 
	FOREIGN KEY(event) REFERENCES event (id)
)
 WITHOUT ROWID

;
INSERT INTO "voided" VALUES('019ca86b-24c0-7000-8000-000000050a31');
INSERT INTO "voided" VALUES('019ca86f-b8a0-7000-8000-00000000f3ba');
INSERT INTO "voided" VALUES('019ca870-a300-7000-8000-0000000c5e51');
INSERT INTO "voided" VALUES('019ca874-4c80-7000-8000-000000060740');
INSERT INTO "voided" VALUES('019ca875-36e0-7000-8000-00000009bb8e');
INSERT INTO "voided" VALUES('019ca87b-9f80-7000-8000-00000001ef40');
CREATE TABLE word (
	subject TEXT NOT NULL, 
	name TEXT NOT NULL, 
	value TEXT NOT NULL, 
	happened TEXT NOT NULL, 
	event TEXT NOT NULL, 
	PRIMARY KEY (subject, name), 
	FOREIGN KEY(event) REFERENCES event (id)
)
 WITHOUT ROWID

;
INSERT INTO "word" VALUES('bin:crate','capacity_l','','2026-03-01T08:40:00.000000Z','019ca872-77c0-7000-8000-0000000ac7d3');
INSERT INTO "word" VALUES('bin:crate','grade','motors','2026-03-01T08:40:00.000000Z','019ca872-77c0-7000-8000-0000000ac7d3');
INSERT INTO "word" VALUES('bin:crate','name','by the door','2026-03-01T08:40:00.000000Z','019ca872-77c0-7000-8000-0000000ac7d3');
INSERT INTO "word" VALUES('bin:drum','capacity_l','7.5','2026-03-01T08:00:00.000000Z','019ca86c-0f20-7000-8000-00000006162f');
INSERT INTO "word" VALUES('bin:drum','grade','copper-2','2026-03-01T08:00:00.000000Z','019ca86c-0f20-7000-8000-00000006162f');
INSERT INTO "word" VALUES('bin:drum','name','by the door','2026-03-01T08:00:00.000000Z','019ca86c-0f20-7000-8000-00000006162f');
INSERT INTO "word" VALUES('bin:shelf','capacity_l','7.5','2026-03-01T08:20:00.000000Z','019ca879-cac0-7000-8000-000000023369');
INSERT INTO "word" VALUES('bin:shelf','grade','light-iron','2026-03-01T08:20:00.000000Z','019ca879-cac0-7000-8000-000000023369');
INSERT INTO "word" VALUES('bin:shelf','name','by the door','2026-03-01T08:20:00.000000Z','019ca879-cac0-7000-8000-000000023369');
INSERT INTO "word" VALUES('buyer:depot','terms','{"at":null,"buyer":"depot","kind":"yard","km":"14.0","minutes":16,"name":"harbour yard","note":"","refuses":["li-ion"],"shipping":[]}','2026-03-01T08:20:00.000000Z','019ca878-e060-7000-8000-0000000c8813');
INSERT INTO "word" VALUES('find:f23','count','2','2026-03-01T09:00:00.000000Z','019ca87e-5ea0-7000-8000-000000027c44');
INSERT INTO "word" VALUES('find:f23','found','2026-03-01T09:00:00.000000Z','2026-03-01T09:00:00.000000Z','019ca87e-5ea0-7000-8000-000000027c44');
INSERT INTO "word" VALUES('find:f23','kind','bread-machine','2026-03-01T09:00:00.000000Z','019ca87e-5ea0-7000-8000-000000027c44');
INSERT INTO "word" VALUES('find:f23','source','curb','2026-03-01T09:00:00.000000Z','019ca87e-5ea0-7000-8000-000000027c44');
INSERT INTO "word" VALUES('find:f23','works','yes','2026-03-01T09:00:00.000000Z','019ca87e-5ea0-7000-8000-000000027c44');
INSERT INTO "word" VALUES('find:f24','count','3','2026-03-01T09:00:00.000000Z','019ca87f-4900-7000-8000-0000000065f7');
INSERT INTO "word" VALUES('find:f24','found','2026-03-01T09:00:00.000000Z','2026-03-01T09:00:00.000000Z','019ca87f-4900-7000-8000-0000000065f7');
INSERT INTO "word" VALUES('find:f24','kind','desktop-pc','2026-03-01T09:00:00.000000Z','019ca87f-4900-7000-8000-0000000065f7');
INSERT INTO "word" VALUES('find:f24','source','curb','2026-03-01T09:00:00.000000Z','019ca87f-4900-7000-8000-0000000065f7');
INSERT INTO "word" VALUES('find:f24','works','no','2026-03-01T09:00:00.000000Z','019ca87f-4900-7000-8000-0000000065f7');
INSERT INTO "word" VALUES('find:f9','closed','yes','2026-03-01T08:20:00.000000Z','019ca882-f280-7000-8000-0000000af5f5');
INSERT INTO "word" VALUES('find:f9','count','1','2026-03-01T09:00:00.000000Z','019ca871-8d60-7000-8000-0000000c03cb');
INSERT INTO "word" VALUES('find:f9','found','2026-03-01T09:00:00.000000Z','2026-03-01T09:00:00.000000Z','019ca871-8d60-7000-8000-0000000c03cb');
INSERT INTO "word" VALUES('find:f9','kind','fan','2026-03-01T09:00:00.000000Z','019ca871-8d60-7000-8000-0000000c03cb');
INSERT INTO "word" VALUES('find:f9','source','curb','2026-03-01T09:00:00.000000Z','019ca871-8d60-7000-8000-0000000c03cb');
INSERT INTO "word" VALUES('find:f9','works','yes','2026-03-01T09:00:00.000000Z','019ca871-8d60-7000-8000-0000000c03cb');
INSERT INTO "word" VALUES('quote:ridge:copper-2:0','heard','{"buyer":"ridge","from_mg":0,"grade":"copper-2","minimum_mg":0,"on":"2026-03-01","price":"63.402","said":"no 2 copper 4.10","unit":"lb"}','2026-03-01T08:20:00.000000Z','019ca877-0ba0-7000-8000-00000009f22a');
INSERT INTO "word" VALUES('setting:bench','value','15','2026-03-01T09:00:00.000000Z','019ca881-1dc0-7000-8000-00000002ae58');
INSERT INTO "word" VALUES('ticket:t14','printed','{"buyer":"harbour","deductions":[{"amount":"2.032","what":"moisture"}],"haul":null,"lines":[{"amount":"33052.03","bin":"drum","grade":"copper-2","mass_mg":894407,"own_mg":613872,"price":"4.10","unit":"lb"},{"amount":"-807.021","bin":"bucket","grade":"light-iron","mass_mg":307855,"own_mg":307855,"price":"4.10","unit":"lb"}],"number":"","ticket":"t14","total":"32242.977"}','2026-03-01T08:40:00.000000Z','019ca876-2140-7000-8000-0000000be4ff');
INSERT INTO "word" VALUES('ticket:t21','printed','{"buyer":"ridge","deductions":[{"amount":"2.786","what":"moisture"}],"haul":null,"lines":[{"amount":"-0.052683","bin":"crate","grade":"copper-2","mass_mg":580526,"own_mg":1518946,"price":"4.10","unit":"lb"},{"amount":"-40867.953146","bin":"crate","grade":"motors","mass_mg":75053,"own_mg":147138,"price":"4.10","unit":"lb"}],"number":"","ticket":"t21","total":"-40870.791829"}','2026-03-01T08:00:00.000000Z','019ca87c-89e0-7000-8000-0000000f6e79');
CREATE INDEX event_kind ON event (kind, id);
CREATE INDEX event_happened ON event (happened);
CREATE INDEX move_event ON move (event);
CREATE INDEX fact_event ON fact (event);
CREATE INDEX entry_event ON entry (event);
CREATE INDEX fact_word ON fact (subject, name, happened, event);
CREATE INDEX entry_account ON entry (account);
CREATE INDEX word_name ON word (name, subject);
COMMIT;
