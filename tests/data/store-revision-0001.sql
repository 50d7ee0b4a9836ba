-- A database as revision 0001 left it. Names and data are invented.
BEGIN TRANSACTION;
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0001');
CREATE TABLE entries (
	id INTEGER NOT NULL, 
	job_id VARCHAR(32) NOT NULL, 
	place INTEGER NOT NULL, 
	document TEXT NOT NULL, 
	CONSTRAINT pk_entries PRIMARY KEY (id), 
	CONSTRAINT fk_entries_job_id FOREIGN KEY(job_id) REFERENCES jobs (id) ON DELETE RESTRICT, 
	CONSTRAINT uq_entries_job_id_place UNIQUE (job_id, place)
);
INSERT INTO "entries" VALUES(1,'685f819b593bec07365bb5ab7b1ee57e',0,'{"at":"2026-11-21T18:30:00.000000Z","hashes":{"job":"f48a3faa14717eb1aa28a6031d627a12393e9f3bc727759c2c977c2614afd1a0"},"place":0,"previous":"0000000000000000000000000000000000000000000000000000000000000000","sections":{"job":{"gap_mm":12.5}},"signature":"a+qp3qkxRrHR65gcesRoYKvLJdaUY3BzZiByg//pu9ue0kFi8BnRXAoWR1IBYx1uX0ms/cF+BKa74G2WOJ9vCA==","stage":"offer","supersedes":null}');
INSERT INTO "entries" VALUES(2,'685f819b593bec07365bb5ab7b1ee57e',1,'{"at":"2026-11-21T18:30:00.000000Z","hashes":{"client":"f849973f9f92ccec352efd7a035644a75112ec343ac1403d02b7d879905bf8eb"},"place":1,"previous":"26cbfda46a5aaf3f0d6d6b556b176e0b3a2389ed58f33734ca984234aefccfe1","sections":{"client":{"personal":"89cab9fb0942b4b5125dae4e1c10a3657b1c604f53407cf308235fa50f207a6e"}},"signature":"5Ol6nGo+KcSh3UiYHXRvia9qwuSgTNshKlsCrZ/BMB1yci/OQQdapZD0DgY0Qz9/gRzri8ETd62p6Cw3MPOhDQ==","stage":"signature","supersedes":null}');
CREATE TABLE jobs (
	id VARCHAR(32) NOT NULL, 
	name VARCHAR(200) NOT NULL, 
	document TEXT NOT NULL, 
	revision INTEGER NOT NULL, 
	created_at VARCHAR(32) NOT NULL, 
	changed_at VARCHAR(32) NOT NULL, 
	deleted_at VARCHAR(32), 
	CONSTRAINT pk_jobs PRIMARY KEY (id)
);
INSERT INTO "jobs" VALUES('685f819b593bec07365bb5ab7b1ee57e','Invented hall','{"format": 1, "name": "Invented hall", "wall": {"width_mm": 3000, "height_mm": 2400}, "slats": {"width_mm": 40, "depth_mm": 18, "gap_mm": 12.5}, "_note": "made at the first revision"}',1,'2026-11-20T09:00:00.000000Z','2026-11-20T09:00:00.000000Z',NULL);
CREATE TABLE offers (
	id VARCHAR(32) NOT NULL, 
	job_id VARCHAR(32) NOT NULL, 
	document TEXT NOT NULL, 
	token_hash VARCHAR(64), 
	made_at VARCHAR(32) NOT NULL, 
	expires_at VARCHAR(32) NOT NULL, 
	revoked_at VARCHAR(32), 
	signed_place INTEGER, 
	CONSTRAINT pk_offers PRIMARY KEY (id), 
	CONSTRAINT fk_offers_job_id FOREIGN KEY(job_id) REFERENCES jobs (id) ON DELETE CASCADE, 
	CONSTRAINT uq_offers_token_hash UNIQUE (token_hash)
);
INSERT INTO "offers" VALUES('offer1','685f819b593bec07365bb5ab7b1ee57e','{"finishes":["A"]}','aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa','2026-11-21T18:30:00.000000Z','2026-11-21T18:30:00.000000Z',NULL,1);
CREATE TABLE personal (
	reference VARCHAR(64) NOT NULL, 
	job_id VARCHAR(32) NOT NULL, 
	salt VARCHAR(64) NOT NULL, 
	value TEXT NOT NULL, 
	CONSTRAINT pk_personal PRIMARY KEY (reference), 
	CONSTRAINT fk_personal_job_id FOREIGN KEY(job_id) REFERENCES jobs (id) ON DELETE CASCADE
);
INSERT INTO "personal" VALUES('89cab9fb0942b4b5125dae4e1c10a3657b1c604f53407cf308235fa50f207a6e','685f819b593bec07365bb5ab7b1ee57e','00000000000000000000000000000000','B. Client (invented)');
CREATE TABLE photos (
	id VARCHAR(32) NOT NULL, 
	job_id VARCHAR(32) NOT NULL, 
	purpose VARCHAR(20) NOT NULL, 
	media_type VARCHAR(40) NOT NULL, 
	data BLOB NOT NULL, 
	added_at VARCHAR(32) NOT NULL, 
	CONSTRAINT pk_photos PRIMARY KEY (id), 
	CONSTRAINT fk_photos_job_id FOREIGN KEY(job_id) REFERENCES jobs (id) ON DELETE CASCADE
);
INSERT INTO "photos" VALUES('photo1','685f819b593bec07365bb5ab7b1ee57e','before','image/png',X'89504E4720696E76656E746564','2026-11-21T18:30:00.000000Z');
CREATE TABLE versions (
	id INTEGER NOT NULL, 
	job_id VARCHAR(32) NOT NULL, 
	digest VARCHAR(64) NOT NULL, 
	document TEXT NOT NULL, 
	kept_at VARCHAR(32) NOT NULL, 
	CONSTRAINT pk_versions PRIMARY KEY (id), 
	CONSTRAINT fk_versions_job_id FOREIGN KEY(job_id) REFERENCES jobs (id) ON DELETE CASCADE, 
	CONSTRAINT uq_versions_job_id_digest UNIQUE (job_id, digest)
);
INSERT INTO "versions" VALUES(1,'685f819b593bec07365bb5ab7b1ee57e','02639740094a769a1fb86ff3823816527b360bf06b58043af144c170d8bd7673','{"format": 1, "name": "Invented hall", "wall": {"width_mm": 3000, "height_mm": 2400}, "slats": {"width_mm": 40, "depth_mm": 18, "gap_mm": 12.5}, "_note": "made at the first revision"}','2026-11-20T09:00:00.000000Z');
CREATE INDEX ix_jobs_changed_at ON jobs (changed_at);
CREATE INDEX ix_versions_job_id ON versions (job_id);
CREATE INDEX ix_photos_job_id ON photos (job_id);
CREATE INDEX ix_offers_job_id ON offers (job_id);
CREATE INDEX ix_entries_job_id ON entries (job_id);
CREATE INDEX ix_personal_job_id ON personal (job_id);
COMMIT;
