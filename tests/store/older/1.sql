BEGIN TRANSACTION;
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0001');
CREATE TABLE bed (
	id TEXT NOT NULL, 
	garden TEXT NOT NULL, 
	made_at TEXT NOT NULL, 
	changed_at TEXT NOT NULL, 
	away INTEGER DEFAULT '0' NOT NULL, 
	now INTEGER NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(garden) REFERENCES garden (id)
)
 STRICT

;
INSERT INTO "bed" VALUES('oval-949380','garden','2026-11-30T05:50:03.662+00:00','2026-11-30T05:50:03.675+00:00',0,2);
CREATE TABLE entry (
	id TEXT NOT NULL, 
	bed TEXT NOT NULL, 
	number INTEGER NOT NULL, 
	at TEXT NOT NULL, 
	corrects TEXT, 
	withdrawn INTEGER DEFAULT '0' NOT NULL, 
	day TEXT NOT NULL, 
	what TEXT NOT NULL, 
	kind TEXT, 
	colour TEXT, 
	other TEXT, 
	count INTEGER, 
	"of" INTEGER, 
	cause TEXT, 
	length_m REAL, 
	tmin_c REAL, 
	tmax_c REAL, 
	rain_mm REAL, 
	minutes INTEGER, 
	task TEXT, 
	photo TEXT, 
	text TEXT DEFAULT '' NOT NULL, 
	PRIMARY KEY (id), 
	CONSTRAINT withdrawn_is_of_another CHECK (withdrawn = 0 OR corrects IS NOT NULL), 
	FOREIGN KEY(bed) REFERENCES bed (id), 
	FOREIGN KEY(corrects) REFERENCES entry (id), 
	FOREIGN KEY(photo) REFERENCES photo (sha256)
)
 STRICT

;
INSERT INTO "entry" VALUES('b0ac32ac-87b7-43f7-9f08-a6645e34e3b7','oval-949380',1,'2026-11-30T05:50:03.845+00:00',NULL,0,'2027-05-20','sown','larkspur',NULL,NULL,24,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,'sowed larkspur 24');
INSERT INTO "entry" VALUES('dadf63b5-eac7-4c7f-b591-fbebe38fc369','oval-949380',2,'2026-11-30T05:50:03.854+00:00','b0ac32ac-87b7-43f7-9f08-a6645e34e3b7',0,'2027-05-20','sown','larkspur',NULL,NULL,30,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,'sowed larkspur 24');
INSERT INTO "entry" VALUES('4cc91e0c-cd7f-4729-8f88-ce2978c774d1','oval-949380',3,'2026-11-30T05:50:03.858+00:00',NULL,0,'2027-05-20','frost',NULL,NULL,NULL,NULL,NULL,NULL,NULL,-1.5,NULL,NULL,NULL,NULL,NULL,'frost');
INSERT INTO "entry" VALUES('9aef954c-bfdf-4721-bb5d-ef4fcfd836d0','oval-949380',4,'2026-11-30T05:50:03.862+00:00','4cc91e0c-cd7f-4729-8f88-ce2978c774d1',1,'2027-05-20','frost',NULL,NULL,NULL,NULL,NULL,NULL,NULL,-1.5,NULL,NULL,NULL,NULL,NULL,'frost');
INSERT INTO "entry" VALUES('5932dc75-8472-4cec-948a-b87eed258946','oval-949380',5,'2026-11-30T05:50:03.865+00:00',NULL,0,'2027-05-20','photo',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,'6f7f6560675946fcacf88f5d2880ed1e658fad01785f99bcdc61e6311a84520d','Ä 花 ''quoted''');
CREATE TABLE garden (
	id TEXT NOT NULL, 
	name TEXT NOT NULL, 
	made_at TEXT NOT NULL, 
	PRIMARY KEY (id)
)
 STRICT

;
INSERT INTO "garden" VALUES('garden','Garden','2026-11-30T05:50:03.657+00:00');
CREATE TABLE grown (
	bed TEXT NOT NULL, 
	year INTEGER NOT NULL, 
	revision INTEGER NOT NULL, 
	"plan" TEXT NOT NULL, 
	made_at TEXT NOT NULL, 
	PRIMARY KEY (bed, year, made_at), 
	FOREIGN KEY(bed, revision) REFERENCES revision (bed, number)
)
 STRICT

;
INSERT INTO "grown" VALUES('oval-949380',2027,2,'{"items": []}','2026-11-30T05:50:03.684+00:00');
CREATE TABLE photo (
	sha256 TEXT NOT NULL, 
	type TEXT NOT NULL, 
	bytes INTEGER NOT NULL, 
	made_at TEXT NOT NULL, 
	PRIMARY KEY (sha256)
)
 STRICT

;
INSERT INTO "photo" VALUES('6f7f6560675946fcacf88f5d2880ed1e658fad01785f99bcdc61e6311a84520d','image/png',77,'2026-11-30T05:50:03.807+00:00');
CREATE TABLE revision (
	bed TEXT NOT NULL, 
	number INTEGER NOT NULL, 
	parent INTEGER NOT NULL, 
	made_at TEXT NOT NULL, 
	said TEXT NOT NULL, 
	brief TEXT NOT NULL, 
	PRIMARY KEY (bed, number), 
	FOREIGN KEY(bed) REFERENCES bed (id) DEFERRABLE INITIALLY DEFERRED
)
 STRICT

;
INSERT INTO "revision" VALUES('oval-949380',1,0,'2026-11-30T05:50:03.663+00:00','begun','title = "Oval"
');
INSERT INTO "revision" VALUES('oval-949380',2,1,'2026-11-30T05:50:03.675+00:00','title','title = "Oval by the gate"
');
CREATE INDEX entry_by_day ON entry (bed, day);
CREATE UNIQUE INDEX entry_by_number ON entry (bed, number);
CREATE INDEX entry_by_corrected ON entry (corrects);
CREATE TRIGGER revision_no_update BEFORE UPDATE ON "revision" BEGIN SELECT RAISE(ABORT, 'rows of revision are kept as they were written'); END;
CREATE TRIGGER revision_no_delete BEFORE DELETE ON "revision" BEGIN SELECT RAISE(ABORT, 'rows of revision are kept as they were written'); END;
CREATE TRIGGER grown_no_update BEFORE UPDATE ON "grown" BEGIN SELECT RAISE(ABORT, 'rows of grown are kept as they were written'); END;
CREATE TRIGGER grown_no_delete BEFORE DELETE ON "grown" BEGIN SELECT RAISE(ABORT, 'rows of grown are kept as they were written'); END;
CREATE TRIGGER photo_no_update BEFORE UPDATE ON "photo" BEGIN SELECT RAISE(ABORT, 'rows of photo are kept as they were written'); END;
CREATE TRIGGER photo_no_delete BEFORE DELETE ON "photo" BEGIN SELECT RAISE(ABORT, 'rows of photo are kept as they were written'); END;
CREATE TRIGGER entry_no_update BEFORE UPDATE ON "entry" BEGIN SELECT RAISE(ABORT, 'rows of entry are kept as they were written'); END;
CREATE TRIGGER entry_no_delete BEFORE DELETE ON "entry" BEGIN SELECT RAISE(ABORT, 'rows of entry are kept as they were written'); END;
COMMIT;
PRAGMA user_version = 1;
