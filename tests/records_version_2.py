"""The database of the records as version 2 made it: that of version 1, the station beside it."""

from tests import records_version_1 as version_1

_STATION = "station VARCHAR(40) DEFAULT '' NOT NULL, "

SQLITE = tuple(
    text.replace("UNIQUE (seat, page", f"{_STATION}UNIQUE (seat, page") for text in version_1.SQLITE
)

_FUNCTIONS = (
    "CREATE OR REPLACE FUNCTION packlearn_stay() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN"
    " RAISE integrity_constraint_violation"
    " USING MESSAGE = TG_TABLE_NAME || ' are never changed'; END $$",
    "CREATE OR REPLACE FUNCTION packlearn_kept() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN"
    " IF EXISTS (SELECT 1 FROM forgetting) THEN RETURN OLD; END IF;"
    " RAISE integrity_constraint_violation"
    " USING MESSAGE = TG_TABLE_NAME || ' are deleted only all together'; END $$",
)
_TRIGGERS = (
    "CREATE TRIGGER {0}_stay BEFORE UPDATE ON {0} FOR EACH ROW EXECUTE FUNCTION packlearn_stay()",
    "CREATE TRIGGER {0}_kept BEFORE DELETE ON {0} FOR EACH ROW EXECUTE FUNCTION packlearn_kept()",
    "CREATE TRIGGER {0}_whole BEFORE TRUNCATE ON {0}"
    " FOR EACH STATEMENT EXECUTE FUNCTION packlearn_stay()",
)

POSTGRES = (
    *(
        text.replace("PRIMARY KEY (id), UNIQUE", f"{_STATION}PRIMARY KEY (id), UNIQUE")
        for text in version_1.POSTGRES
    ),
    *_FUNCTIONS,
    *(text.format(table) for table in ("saw", "results", "predictions") for text in _TRIGGERS),
)

ROWS = ("INSERT INTO schema_version (id, version) VALUES (1, 2)", *version_1.ROWS[1:])
