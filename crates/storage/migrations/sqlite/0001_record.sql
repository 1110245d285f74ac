-- One row: the key that signs heads here, its public half.
CREATE TABLE installation (
    key BLOB NOT NULL
);
-- Jobs with the end of their chains.
CREATE TABLE job (
    job BIGINT PRIMARY KEY,
    id TEXT NOT NULL UNIQUE,
    entries BIGINT NOT NULL,
    link BLOB NOT NULL
);
-- Entries at their places: exact bytes, and the chain's link.
CREATE TABLE entry (
    job BIGINT NOT NULL REFERENCES job (job),
    place BIGINT NOT NULL,
    id BLOB NOT NULL,
    received BIGINT NOT NULL,
    link BLOB NOT NULL,
    bytes BLOB NOT NULL
);
CREATE UNIQUE INDEX entry_place ON entry (job, place);
CREATE UNIQUE INDEX entry_id ON entry (job, id);
-- Signed heads, the installation's own and those that came with a folder.
CREATE TABLE head (
    job BIGINT NOT NULL REFERENCES job (job),
    entries BIGINT NOT NULL,
    key BLOB NOT NULL,
    signed BIGINT NOT NULL,
    link BLOB NOT NULL,
    signature BLOB NOT NULL
);
CREATE UNIQUE INDEX head_place ON head (job, entries, key);
-- Files whose bytes an entry of the job says were destroyed: they do not come back.
CREATE TABLE erased (
    job BIGINT NOT NULL REFERENCES job (job),
    hash BLOB NOT NULL
);
CREATE UNIQUE INDEX erased_hash ON erased (job, hash);
