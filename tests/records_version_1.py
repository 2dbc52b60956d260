"""The database of the records as version 1 made it, statement by statement."""

SQLITE = (
    (
        "CREATE TABLE schema_version ( id INTEGER NOT NULL, version INTEGER NOT NULL, PRIMARY"
        " KEY (id) )"
    ),
    (
        "CREATE TABLE predictions ( id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, seat "
        "VARCHAR(60) NOT NULL, page VARCHAR(100) NOT NULL, task VARCHAR(100) NOT NULL, "
        "variant BIGINT NOT NULL, attempt INTEGER NOT NULL, givens TEXT NOT NULL, typed "
        "VARCHAR(200) NOT NULL, value DOUBLE, unit VARCHAR(40) NOT NULL, confidence "
        "VARCHAR(10) NOT NULL, reason VARCHAR(1000) NOT NULL, locked_at DATETIME NOT NULL, "
        "UNIQUE (seat, page, task, variant, attempt) )"
    ),
    ("CREATE TABLE forgetting ( id INTEGER NOT NULL, PRIMARY KEY (id) )"),
    (
        "CREATE TABLE results ( prediction_id INTEGER NOT NULL, verdict VARCHAR(60) NOT NULL,"
        " mistakes VARCHAR(1000) NOT NULL, is_right BOOLEAN NOT NULL, revealed BOOLEAN NOT "
        "NULL, settled_at DATETIME NOT NULL, PRIMARY KEY (prediction_id), FOREIGN "
        "KEY(prediction_id) REFERENCES predictions (id) )"
    ),
    (
        "CREATE TABLE saw ( prediction_id INTEGER NOT NULL, answer VARCHAR(10) NOT NULL, "
        "said_at DATETIME NOT NULL, PRIMARY KEY (prediction_id), FOREIGN KEY(prediction_id) "
        "REFERENCES predictions (id) )"
    ),
    (
        "CREATE TRIGGER IF NOT EXISTS predictions_stay BEFORE UPDATE ON predictions BEGIN "
        "SELECT RAISE(ABORT, 'predictions are never changed'); END"
    ),
    (
        "CREATE TRIGGER IF NOT EXISTS predictions_kept BEFORE DELETE ON predictions WHEN NOT "
        "EXISTS (SELECT 1 FROM forgetting) BEGIN SELECT RAISE(ABORT, 'predictions are deleted"
        " only all together'); END"
    ),
    (
        "CREATE TRIGGER IF NOT EXISTS predictions_first BEFORE INSERT ON predictions WHEN "
        "EXISTS (SELECT 1 FROM predictions AS old WHERE old.id = NEW.id OR (old.seat = "
        "NEW.seat AND old.page = NEW.page AND old.task = NEW.task AND old.variant = "
        "NEW.variant AND old.attempt = NEW.attempt)) BEGIN SELECT RAISE(ABORT, 'predictions "
        "are never replaced'); END"
    ),
    (
        "CREATE TRIGGER IF NOT EXISTS results_stay BEFORE UPDATE ON results BEGIN SELECT "
        "RAISE(ABORT, 'results are never changed'); END"
    ),
    (
        "CREATE TRIGGER IF NOT EXISTS results_kept BEFORE DELETE ON results WHEN NOT EXISTS "
        "(SELECT 1 FROM forgetting) BEGIN SELECT RAISE(ABORT, 'results are deleted only all "
        "together'); END"
    ),
    (
        "CREATE TRIGGER IF NOT EXISTS results_first BEFORE INSERT ON results WHEN EXISTS "
        "(SELECT 1 FROM results AS old WHERE old.prediction_id = NEW.prediction_id) BEGIN "
        "SELECT RAISE(ABORT, 'results are never replaced'); END"
    ),
    (
        "CREATE TRIGGER IF NOT EXISTS saw_stay BEFORE UPDATE ON saw BEGIN SELECT RAISE(ABORT,"
        " 'saw are never changed'); END"
    ),
    (
        "CREATE TRIGGER IF NOT EXISTS saw_kept BEFORE DELETE ON saw WHEN NOT EXISTS (SELECT 1"
        " FROM forgetting) BEGIN SELECT RAISE(ABORT, 'saw are deleted only all together'); "
        "END"
    ),
    (
        "CREATE TRIGGER IF NOT EXISTS saw_first BEFORE INSERT ON saw WHEN EXISTS (SELECT 1 "
        "FROM saw AS old WHERE old.prediction_id = NEW.prediction_id) BEGIN SELECT "
        "RAISE(ABORT, 'saw are never replaced'); END"
    ),
)

POSTGRES = (
    ("CREATE TABLE forgetting ( id INTEGER NOT NULL, PRIMARY KEY (id) )"),
    (
        "CREATE TABLE predictions ( id SERIAL NOT NULL, seat VARCHAR(60) NOT NULL, page "
        "VARCHAR(100) NOT NULL, task VARCHAR(100) NOT NULL, variant BIGINT NOT NULL, attempt "
        "INTEGER NOT NULL, givens TEXT NOT NULL, typed VARCHAR(200) NOT NULL, value DOUBLE "
        "PRECISION, unit VARCHAR(40) NOT NULL, confidence VARCHAR(10) NOT NULL, reason "
        "VARCHAR(1000) NOT NULL, locked_at TIMESTAMP WITH TIME ZONE NOT NULL, PRIMARY KEY "
        "(id), UNIQUE (seat, page, task, variant, attempt) )"
    ),
    (
        "CREATE TABLE schema_version ( id INTEGER NOT NULL, version INTEGER NOT NULL, PRIMARY"
        " KEY (id) )"
    ),
    (
        "CREATE TABLE results ( prediction_id INTEGER NOT NULL, verdict VARCHAR(60) NOT NULL,"
        " mistakes VARCHAR(1000) NOT NULL, is_right BOOLEAN NOT NULL, revealed BOOLEAN NOT "
        "NULL, settled_at TIMESTAMP WITH TIME ZONE NOT NULL, PRIMARY KEY (prediction_id), "
        "FOREIGN KEY(prediction_id) REFERENCES predictions (id) )"
    ),
    (
        "CREATE TABLE saw ( prediction_id INTEGER NOT NULL, answer VARCHAR(10) NOT NULL, "
        "said_at TIMESTAMP WITH TIME ZONE NOT NULL, PRIMARY KEY (prediction_id), FOREIGN "
        "KEY(prediction_id) REFERENCES predictions (id) )"
    ),
)

# A prediction with its result and what was seen, and one that is still open.
ROWS = (
    "INSERT INTO schema_version (id, version) VALUES (1, 1)",
    "INSERT INTO predictions (id, seat, page, task, variant, attempt, givens, typed, value, unit,"
    " confidence, reason, locked_at) VALUES (3, '', 'predict-the-pack', 'lantern-volts', 7, 1,"
    """ '{"series":5}', '6,2 V', 6.2, 'V', 'think', 'five', '2026-03-01 12:00:00.000000')""",
    "INSERT INTO predictions (id, seat, page, task, variant, attempt, givens, typed, value, unit,"
    " confidence, reason, locked_at) VALUES (4, '12', 'predict-the-pack', 'lantern-volts', 7, 1,"
    " '{}', '=1+1', NULL, '', 'sure', '', '2026-03-01 12:00:01.500000')",
    "INSERT INTO results (prediction_id, verdict, mistakes, is_right, revealed, settled_at)"
    """ VALUES (3, 'mistake', '["M18"]', {no}, {yes}, '2026-03-01 12:00:00.100000')""",
    "INSERT INTO saw (prediction_id, answer, said_at)"
    " VALUES (3, 'more', '2026-03-01 12:00:09.000000')",
)
