-- What must be found fast. Made again whole from the register, the journals and who people are.
CREATE TABLE said (key TEXT PRIMARY KEY, value TEXT NOT NULL) WITHOUT ROWID;
CREATE TABLE person (code TEXT PRIMARY KEY, added INTEGER NOT NULL) WITHOUT ROWID;
-- Apart from all that was measured.
CREATE TABLE identity (
  code TEXT PRIMARY KEY, name TEXT NOT NULL, born TEXT, number_elsewhere TEXT,
  looked_through TEXT NOT NULL) WITHOUT ROWID;
CREATE TABLE user (
  code TEXT PRIMARY KEY, name TEXT NOT NULL, role TEXT NOT NULL, works_here INTEGER NOT NULL)
  WITHOUT ROWID;
-- Times are microseconds since 1970-01-01 UTC. State: open, closed, broken_off, erased.
CREATE TABLE visit (
  code TEXT PRIMARY KEY, person TEXT, began INTEGER NOT NULL, plan TEXT NOT NULL, simulated TEXT,
  state TEXT NOT NULL, lines INTEGER, head TEXT, signed TEXT,
  summary TEXT, summary_head TEXT, mathematics INTEGER,
  erased_at INTEGER, erased_by TEXT, erased_why TEXT) WITHOUT ROWID;
CREATE INDEX visit_by_time ON visit (began);
CREATE INDEX visit_by_person ON visit (person, began);
CREATE INDEX visit_open ON visit (state) WHERE state = 'open';
