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
INSERT INTO "about" VALUES('bin:crate','019ca874-4c80-7000-8000-0000000bcc2f');
INSERT INTO "about" VALUES('bin:crate','019ca87a-b520-7000-8000-00000005a3de');
INSERT INTO "about" VALUES('bin:drum','019ca86b-24c0-7000-8000-000000077a06');
INSERT INTO "about" VALUES('bin:drum','019ca882-f280-7000-8000-0000000c6e12');
INSERT INTO "about" VALUES('bin:shelf','019ca86e-ce40-7000-8000-00000002c9e2');
INSERT INTO "about" VALUES('bin:shelf','019ca871-8d60-7000-8000-00000006be23');
INSERT INTO "about" VALUES('bin:shelf','019ca87e-5ea0-7000-8000-000000045f13');
INSERT INTO "about" VALUES('bin:shelf','019ca87f-4900-7000-8000-00000004253a');
INSERT INTO "about" VALUES('buyer:depot','019ca86b-24c0-7000-8000-000000077a06');
INSERT INTO "about" VALUES('buyer:depot','019ca871-8d60-7000-8000-00000006be23');
INSERT INTO "about" VALUES('buyer:depot','019ca876-2140-7000-8000-000000064a76');
INSERT INTO "about" VALUES('buyer:harbour','019ca86a-3a60-7000-8000-0000000cad57');
INSERT INTO "about" VALUES('buyer:harbour','019ca86e-ce40-7000-8000-00000002c9e2');
INSERT INTO "about" VALUES('buyer:harbour','019ca873-6220-7000-8000-000000025947');
INSERT INTO "about" VALUES('buyer:harbour','019ca877-f600-7000-8000-0000000d7751');
INSERT INTO "about" VALUES('buyer:harbour','019ca87b-9f80-7000-8000-00000002f33c');
INSERT INTO "about" VALUES('buyer:harbour','019ca87c-89e0-7000-8000-0000000e693b');
INSERT INTO "about" VALUES('buyer:harbour','019ca880-3360-7000-8000-000000027c44');
INSERT INTO "about" VALUES('buyer:harbour','019ca881-1dc0-7000-8000-0000000fff64');
INSERT INTO "about" VALUES('buyer:ridge','019ca86d-e3e0-7000-8000-000000008a5d');
INSERT INTO "about" VALUES('buyer:ridge','019ca870-a300-7000-8000-000000060740');
INSERT INTO "about" VALUES('buyer:ridge','019ca87b-9f80-7000-8000-00000002f33c');
INSERT INTO "about" VALUES('buyer:ridge','019ca87d-7440-7000-8000-0000000112c6');
INSERT INTO "about" VALUES('buyer:ridge','019ca880-3360-7000-8000-000000027c44');
INSERT INTO "about" VALUES('context:taps','019ca869-5000-7000-8000-0000000f3973');
INSERT INTO "about" VALUES('context:taps','019ca875-36e0-7000-8000-0000000c5ae8');
INSERT INTO "about" VALUES('context:taps','019ca883-dce0-7000-8000-00000009ed71');
INSERT INTO "about" VALUES('event:019ca874-4c80-7000-8000-0000000bcc2f','019ca888-70c0-7000-8000-0000000c4d28');
INSERT INTO "about" VALUES('event:019ca878-e060-7000-8000-000000074f05','019ca88b-2fe0-7000-8000-000000039c4c');
INSERT INTO "about" VALUES('event:019ca87b-9f80-7000-8000-00000002f33c','019ca889-5b20-7000-8000-000000045b8e');
INSERT INTO "about" VALUES('event:019ca880-3360-7000-8000-000000027c44','019ca887-8660-7000-8000-000000065a28');
INSERT INTO "about" VALUES('event:019ca882-f280-7000-8000-0000000c6e12','019ca886-9c00-7000-8000-00000007ba3c');
INSERT INTO "about" VALUES('event:019ca885-b1a0-7000-8000-000000056d6b','019ca88a-4580-7000-8000-000000014c5e');
INSERT INTO "about" VALUES('find:f31','019ca885-b1a0-7000-8000-000000056d6b');
INSERT INTO "about" VALUES('haul:h1','019ca87b-9f80-7000-8000-00000002f33c');
INSERT INTO "about" VALUES('haul:h1','019ca87c-89e0-7000-8000-0000000e693b');
INSERT INTO "about" VALUES('haul:h2','019ca880-3360-7000-8000-000000027c44');
INSERT INTO "about" VALUES('haul:h2','019ca881-1dc0-7000-8000-0000000fff64');
INSERT INTO "about" VALUES('rule:curbside','019ca86c-0f20-7000-8000-00000008e6b5');
INSERT INTO "about" VALUES('rule:curbside','019ca877-0ba0-7000-8000-000000037d50');
INSERT INTO "about" VALUES('rule:curbside','019ca884-c740-7000-8000-0000000f8fbf');
INSERT INTO "about" VALUES('setting:bench','019ca882-0820-7000-8000-000000024fdd');
INSERT INTO "about" VALUES('setting:wage','019ca872-77c0-7000-8000-00000006d2e3');
INSERT INTO "about" VALUES('ticket:t1','019ca873-6220-7000-8000-000000025947');
INSERT INTO "about" VALUES('ticket:t1','019ca877-f600-7000-8000-0000000d7751');
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
INSERT INTO "account" VALUES('deductions:harbour','-884.61');
INSERT INTO "account" VALUES('minutes:collect','104');
INSERT INTO "account" VALUES('minutes:haul','314');
INSERT INTO "account" VALUES('paid:harbour','800.06697');
INSERT INTO "account" VALUES('sales:depot','78535.8');
INSERT INTO "account" VALUES('sales:harbour','-815.457');
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0002');
CREATE TABLE alias (
	event TEXT NOT NULL, 
	subject TEXT NOT NULL, 
	"key" TEXT NOT NULL, 
	PRIMARY KEY (event, subject), 
	FOREIGN KEY(event) REFERENCES event (id)
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
INSERT INTO "balance" VALUES('bin:drum','copper-2',-149538);
INSERT INTO "balance" VALUES('bin:shelf','copper-2',20875088);
INSERT INTO "balance" VALUES('bin:shelf','light-iron',-2973338);
INSERT INTO "balance" VALUES('bin:shelf','motors',24681022);
INSERT INTO "balance" VALUES('buyer:depot','copper-2',149538);
INSERT INTO "balance" VALUES('buyer:depot','motors',488669);
INSERT INTO "balance" VALUES('buyer:harbour','light-iron',1666918);
INSERT INTO "balance" VALUES('loss','',-73839766);
CREATE TABLE "conflict" (
	about TEXT NOT NULL, 
	data TEXT NOT NULL, 
	PRIMARY KEY (about)
)
 WITHOUT ROWID

;
INSERT INTO "conflict" VALUES('bin:drum','[{"code":"bin-below-zero","mg":-149538,"name":"copper-2","sides":[["019ca86b-24c0-7000-8000-000000077a06","","mate","2026-03-01T08:20:00.000000Z","149538"]],"subjects":["bin:drum"]}]');
INSERT INTO "conflict" VALUES('bin:shelf','[{"code":"bin-below-zero","mg":-2973338,"name":"light-iron","sides":[["019ca86e-ce40-7000-8000-00000002c9e2","","mate","2026-03-01T08:40:00.000000Z","2973338"]],"subjects":["bin:shelf"]}]');
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
INSERT INTO "event" VALUES('019ca86a-3a60-7000-8000-0000000cad57','traded','mate','2026-03-01T08:00:00.000000Z','2026-03-01T08:01:00.000000Z',1,'{"at":["44.65","-63.57"],"buyer":"harbour","kind":"yard","km":"14.0","minutes":5,"name":"harbour yard","note":"","refuses":["li-ion"],"shipping":[{"cost":"17.00","up_to_mg":20000000}]}','','2026-03-01T08:00:00.000000Z','{}');
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
INSERT INTO "fact" VALUES('019ca86a-3a60-7000-8000-0000000cad57','buyer:harbour','terms','{"at":["44.65","-63.57"],"buyer":"harbour","kind":"yard","km":"14.0","minutes":5,"name":"harbour yard","note":"","refuses":["li-ion"],"shipping":[{"cost":"17.00","up_to_mg":20000000}]}','2026-03-01T08:00:00.000000Z','2026-03-01T08:00:00.000000Z',1);
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
INSERT INTO "thing" VALUES('bin:crate','','','bin:crate');
INSERT INTO "thing" VALUES('bin:drum','','','bin:drum');
INSERT INTO "thing" VALUES('bin:shelf','','','bin:shelf');
INSERT INTO "thing" VALUES('find:f31','','','find:f31');
INSERT INTO "thing" VALUES('haul:h1','','','haul:h1');
INSERT INTO "thing" VALUES('haul:h2','','','haul:h2');
INSERT INTO "thing" VALUES('ticket:t1','','','ticket:t1');
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
INSERT INTO "word" VALUES('bin:crate','capacity_l','20','2026-03-01T08:00:00.000000Z','019ca87a-b520-7000-8000-00000005a3de');
INSERT INTO "word" VALUES('bin:crate','grade','copper-2','2026-03-01T08:00:00.000000Z','019ca87a-b520-7000-8000-00000005a3de');
INSERT INTO "word" VALUES('bin:crate','name','by the door','2026-03-01T08:00:00.000000Z','019ca87a-b520-7000-8000-00000005a3de');
INSERT INTO "word" VALUES('buyer:harbour','terms','{"at":["44.65","-63.57"],"buyer":"harbour","kind":"yard","km":"14.0","minutes":5,"name":"harbour yard","note":"","refuses":["li-ion"],"shipping":[{"cost":"17.00","up_to_mg":20000000}]}','2026-03-01T08:00:00.000000Z','019ca86a-3a60-7000-8000-0000000cad57');
INSERT INTO "word" VALUES('buyer:ridge','terms','{"at":null,"buyer":"ridge","kind":"yard","km":"14.0","minutes":31,"name":"harbour yard","note":"","refuses":["li-ion"],"shipping":[]}','2026-03-01T08:20:00.000000Z','019ca870-a300-7000-8000-000000060740');
INSERT INTO "word" VALUES('haul:h1','km','31.5','2026-03-01T08:20:00.000000Z','019ca87c-89e0-7000-8000-0000000e693b');
INSERT INTO "word" VALUES('haul:h1','minutes','271','2026-03-01T08:20:00.000000Z','019ca87c-89e0-7000-8000-0000000e693b');
INSERT INTO "word" VALUES('haul:h1','status','finished','2026-03-01T08:20:00.000000Z','019ca87c-89e0-7000-8000-0000000e693b');
INSERT INTO "word" VALUES('haul:h1','stops','["harbour"]','2026-03-01T08:20:00.000000Z','019ca87c-89e0-7000-8000-0000000e693b');
INSERT INTO "word" VALUES('haul:h2','km','31.5','2026-03-01T08:00:00.000000Z','019ca881-1dc0-7000-8000-0000000fff64');
INSERT INTO "word" VALUES('haul:h2','minutes','43','2026-03-01T08:00:00.000000Z','019ca881-1dc0-7000-8000-0000000fff64');
INSERT INTO "word" VALUES('haul:h2','status','finished','2026-03-01T08:00:00.000000Z','019ca881-1dc0-7000-8000-0000000fff64');
INSERT INTO "word" VALUES('haul:h2','stops','["harbour"]','2026-03-01T08:00:00.000000Z','019ca881-1dc0-7000-8000-0000000fff64');
INSERT INTO "word" VALUES('quote:depot:copper-2:0','heard','{"buyer":"depot","from_mg":0,"grade":"copper-2","minimum_mg":0,"on":"2026-03-01","price":"29.934","said":"no 2 copper 4.10","unit":"lb"}','2026-03-01T08:20:00.000000Z','019ca876-2140-7000-8000-000000064a76');
INSERT INTO "word" VALUES('quote:ridge:motors:22679618','heard','{"buyer":"ridge","from_mg":22679618,"grade":"motors","minimum_mg":0,"on":"2026-03-01","price":"4598","said":"no 2 copper 4.10","unit":"lb"}','2026-03-01T08:40:00.000000Z','019ca87d-7440-7000-8000-0000000112c6');
INSERT INTO "word" VALUES('rule:curbside','here','{"card":"curbside","says":"no cash","seen":"2025-11-04","source":"notice, at the yard"}','2026-03-01T09:00:00.000000Z','019ca884-c740-7000-8000-0000000f8fbf');
INSERT INTO "word" VALUES('setting:bench','value','19','2026-03-01T08:00:00.000000Z','019ca882-0820-7000-8000-000000024fdd');
INSERT INTO "word" VALUES('setting:wage','value','2','2026-03-01T08:20:00.000000Z','019ca872-77c0-7000-8000-00000006d2e3');
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
