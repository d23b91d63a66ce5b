-- What step 0005 was in SQLite (sqlite_master).
CREATE TABLE archive_version (
    version_num VARCHAR(32) NOT NULL,
    CONSTRAINT archive_version_pkc PRIMARY KEY (version_num)
);
CREATE TABLE sessions (
    number INTEGER NOT NULL,
    place TEXT NOT NULL,
    folder TEXT NOT NULL,
    began TEXT NOT NULL,
    last_at TEXT NOT NULL,
    procedure TEXT NOT NULL,
    title TEXT NOT NULL,
    procedure_sha256 TEXT NOT NULL,
    repair_order TEXT NOT NULL,
    order_key TEXT NOT NULL,
    vehicle TEXT NOT NULL,
    technician TEXT NOT NULL,
    complaint TEXT NOT NULL,
    facts TEXT NOT NULL,
    outcome TEXT NOT NULL,
    finding TEXT NOT NULL,
    cause TEXT NOT NULL,
    last_hash TEXT NOT NULL,
    chain TEXT NOT NULL,
    ended BOOLEAN NOT NULL,
    lines INTEGER NOT NULL,
    size BIGINT NOT NULL,
    mtime_ns BIGINT NOT NULL,
    missing BOOLEAN NOT NULL, sid TEXT DEFAULT '' NOT NULL, worked_s BIGINT DEFAULT '0' NOT NULL, questions INTEGER DEFAULT '0' NOT NULL,
    PRIMARY KEY (number),
    CONSTRAINT one_session_a_folder UNIQUE (place, folder)
);
CREATE INDEX sessions_by_order ON sessions (order_key, number);
CREATE INDEX sessions_by_procedure ON sessions (procedure, number);
CREATE TABLE readings (
    session INTEGER NOT NULL,
    place INTEGER NOT NULL,
    seq INTEGER NOT NULL,
    at TEXT NOT NULL,
    step TEXT NOT NULL,
    shown TEXT NOT NULL,
    quantity TEXT NOT NULL,
    value TEXT,
    unit TEXT NOT NULL,
    base_key TEXT,
    accept TEXT NOT NULL,
    verdict TEXT NOT NULL,
    rejudged BOOLEAN NOT NULL,
    remark TEXT NOT NULL,
    PRIMARY KEY (session, place),
    FOREIGN KEY(session) REFERENCES sessions (number) ON DELETE CASCADE
) WITHOUT ROWID;
CREATE INDEX readings_by_step ON readings (step, session);
CREATE TABLE verdicts (
    verdict TEXT NOT NULL,
    session INTEGER NOT NULL,
    PRIMARY KEY (verdict, session),
    FOREIGN KEY(session) REFERENCES sessions (number) ON DELETE CASCADE
) WITHOUT ROWID;
CREATE INDEX verdicts_by_session ON verdicts (session);
CREATE TABLE deletions (
    place TEXT NOT NULL,
    folder TEXT NOT NULL,
    number INTEGER NOT NULL,
    removed_at TEXT NOT NULL,
    removed_by TEXT NOT NULL,
    reason TEXT NOT NULL,
    last_hash TEXT NOT NULL,
    PRIMARY KEY (place, folder)
);
CREATE VIRTUAL TABLE words USING fts5(said, cause, complaint, vehicle);
CREATE TABLE seals (
    place TEXT NOT NULL,
    folder TEXT NOT NULL,
    lines INTEGER NOT NULL,
    last_hash TEXT NOT NULL, sid TEXT DEFAULT '' NOT NULL,
    PRIMARY KEY (place, folder)
);
CREATE TABLE points (
    procedure_sha256 TEXT NOT NULL,
    step TEXT NOT NULL,
    point TEXT NOT NULL,
    PRIMARY KEY (procedure_sha256, step, point)
) WITHOUT ROWID;
CREATE INDEX points_by_name ON points (point);
CREATE UNIQUE INDEX sessions_by_sid ON sessions (sid);
CREATE INDEX seals_by_sid ON seals (sid);
CREATE TABLE bays (
    place TEXT NOT NULL,
    shown TEXT NOT NULL,
    PRIMARY KEY (place)
);
INSERT INTO archive_version VALUES ('0005');
