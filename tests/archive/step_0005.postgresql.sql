-- What step 0005 was in PostgreSQL (pg_dump).
CREATE TABLE archive_version (
    version_num character varying(32) NOT NULL
);
CREATE TABLE bays (
    place text NOT NULL,
    shown text NOT NULL
);
CREATE TABLE deletions (
    place text NOT NULL,
    folder text NOT NULL,
    number bigint NOT NULL,
    removed_at text NOT NULL,
    removed_by text NOT NULL,
    reason text NOT NULL,
    last_hash text NOT NULL
);
CREATE TABLE points (
    procedure_sha256 text NOT NULL,
    step text NOT NULL,
    point text NOT NULL
);
CREATE TABLE readings (
    session bigint NOT NULL,
    place integer NOT NULL,
    seq integer NOT NULL,
    at text NOT NULL,
    step text NOT NULL,
    shown text NOT NULL,
    quantity text NOT NULL,
    value text,
    unit text NOT NULL,
    base_key text COLLATE pg_catalog."C",
    accept text NOT NULL,
    verdict text NOT NULL,
    rejudged boolean NOT NULL,
    remark text NOT NULL
);
CREATE TABLE seals (
    place text NOT NULL,
    folder text NOT NULL,
    lines integer NOT NULL,
    last_hash text NOT NULL,
    sid text DEFAULT ''::text NOT NULL
);
CREATE TABLE sessions (
    number bigint NOT NULL,
    place text NOT NULL,
    folder text NOT NULL,
    began text NOT NULL,
    last_at text NOT NULL,
    procedure text NOT NULL,
    title text NOT NULL,
    procedure_sha256 text NOT NULL,
    repair_order text NOT NULL,
    order_key text NOT NULL,
    vehicle text NOT NULL,
    technician text NOT NULL,
    complaint text NOT NULL,
    facts text NOT NULL,
    outcome text NOT NULL,
    finding text NOT NULL,
    cause text NOT NULL,
    last_hash text NOT NULL,
    chain text NOT NULL,
    ended boolean NOT NULL,
    lines integer NOT NULL,
    size bigint NOT NULL,
    mtime_ns bigint NOT NULL,
    missing boolean NOT NULL,
    sid text DEFAULT ''::text NOT NULL,
    worked_s bigint DEFAULT '0'::bigint NOT NULL,
    questions integer DEFAULT 0 NOT NULL
);
CREATE TABLE verdicts (
    verdict text NOT NULL,
    session bigint NOT NULL
);
CREATE TABLE words (
    session bigint NOT NULL,
    said tsvector NOT NULL,
    cause tsvector NOT NULL,
    complaint tsvector NOT NULL,
    vehicle tsvector NOT NULL
);
ALTER TABLE ONLY words ALTER COLUMN said SET STATISTICS 2000;
ALTER TABLE ONLY words ALTER COLUMN cause SET STATISTICS 2000;
ALTER TABLE ONLY words ALTER COLUMN complaint SET STATISTICS 2000;
ALTER TABLE ONLY words ALTER COLUMN vehicle SET STATISTICS 2000;
ALTER TABLE ONLY archive_version
    ADD CONSTRAINT archive_version_pkc PRIMARY KEY (version_num);
ALTER TABLE ONLY bays
    ADD CONSTRAINT bays_pkey PRIMARY KEY (place);
ALTER TABLE ONLY deletions
    ADD CONSTRAINT deletions_pkey PRIMARY KEY (place, folder);
ALTER TABLE ONLY sessions
    ADD CONSTRAINT one_session_a_folder UNIQUE (place, folder);
ALTER TABLE ONLY points
    ADD CONSTRAINT points_pkey PRIMARY KEY (procedure_sha256, step, point);
ALTER TABLE ONLY readings
    ADD CONSTRAINT readings_pkey PRIMARY KEY (session, place);
ALTER TABLE ONLY seals
    ADD CONSTRAINT seals_pkey PRIMARY KEY (place, folder);
ALTER TABLE ONLY sessions
    ADD CONSTRAINT sessions_pkey PRIMARY KEY (number);
ALTER TABLE ONLY verdicts
    ADD CONSTRAINT verdicts_pkey PRIMARY KEY (verdict, session);
ALTER TABLE ONLY words
    ADD CONSTRAINT words_pkey PRIMARY KEY (session);
CREATE INDEX points_by_name ON points USING btree (point);
CREATE INDEX readings_by_step ON readings USING btree (step, session);
CREATE INDEX seals_by_sid ON seals USING btree (sid);
CREATE INDEX sessions_by_order ON sessions USING btree (order_key, number);
CREATE INDEX sessions_by_procedure ON sessions USING btree (procedure, number);
CREATE UNIQUE INDEX sessions_by_sid ON sessions USING btree (sid);
CREATE INDEX verdicts_by_session ON verdicts USING btree (session);
CREATE INDEX words_cause ON words USING gin (cause);
CREATE INDEX words_complaint ON words USING gin (complaint);
CREATE INDEX words_said ON words USING gin (said);
CREATE INDEX words_vehicle ON words USING gin (vehicle);
ALTER TABLE ONLY readings
    ADD CONSTRAINT readings_session_fkey FOREIGN KEY (session) REFERENCES sessions(number) ON DELETE CASCADE;
ALTER TABLE ONLY verdicts
    ADD CONSTRAINT verdicts_session_fkey FOREIGN KEY (session) REFERENCES sessions(number) ON DELETE CASCADE;
ALTER TABLE ONLY words
    ADD CONSTRAINT words_session_fkey FOREIGN KEY (session) REFERENCES sessions(number) ON DELETE CASCADE;
INSERT INTO archive_version VALUES ('0005');
