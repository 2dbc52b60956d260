"""What only the owner of a server's records does: bring up its tables, make roles, delete a class.

This module loads SQLAlchemy.
"""

import sqlalchemy as sa

from packlearn.records import queries
from packlearn.records.store import Store
from packlearn.records.tables import moments, predictions

PATIENCE_S = 30.0


class Owner:
    """The records of a server, opened by their owner.

    Args:
        url: address of the records.

    Raises:
        RecordsTrouble: not an address.
    """

    def __init__(self, url):
        self.store = Store(url, PATIENCE_S)

    def do(self, statements=(), passwords=(), forget=None):
        """Bring up the tables and do statements, in one transaction.

        Args:
            statements: SQL statements without fields.
            passwords: role -> password, which goes to the server in its hashed form only.
            forget: code of a class whose rows are deleted first, or None.

        Returns:
            How many predictions were deleted.

        Raises:
            RecordsTrouble: the server is away or refuses.
        """

        def work(connection):
            count = _forget(connection, forget) if forget else 0
            for statement in statements:
                connection.exec_driver_sql(statement)
            driver = connection.connection.driver_connection
            for role, password in dict(passwords).items():
                secret = driver.pgconn.encrypt_password(password.encode(), role.encode()).decode()
                # Made of letters, figures, $, :, = and / alone.
                connection.exec_driver_sql(f"ALTER ROLE \"{role}\" PASSWORD '{secret}'")
            return count

        return self.store.write(work)


def _forget(connection, code):
    mine = predictions.c.seat.like(f"{code}-%")
    seats = connection.scalars(sa.select(predictions.c.seat).where(mine).distinct()).all()
    connection.execute(sa.delete(moments).where(moments.c.code == code))
    return sum(queries.forget(connection, seat) for seat in seats)
