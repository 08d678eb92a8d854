-- Whose name was erased, so that files that a loss of power left behind are found; people by name.
ALTER TABLE person ADD COLUMN erased INTEGER;
UPDATE person SET erased = added WHERE code NOT IN (SELECT code FROM identity);
CREATE INDEX person_erased ON person (code) WHERE erased IS NOT NULL;
CREATE INDEX visit_erased ON visit (code) WHERE state = 'erased';
CREATE INDEX identity_by_name ON identity (name, code);
