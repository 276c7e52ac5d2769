"""Reads the register: doors by current or former number; retired doors."""

from __future__ import annotations

from doorround.domain.door import Door
from doorround.domain.links import Labelled
from doorround.domain.plain_text import same_number
from doorround.logbook.connection import Connection
from doorround.logbook.errors import UnknownDoorError
from doorround.logbook.records import RetiredDoor, read_retired


class RegisterReader(Connection):
    """Read access to the register."""

    def doors(self) -> list[Door]:
        """The register: every door in use as last described, by site, building and number."""
        rows = self._rows(
            "SELECT door FROM doors WHERE retired IS NULL ORDER BY site, building, number"
        )
        return [Door.model_validate_json(row[0]) for row in rows]

    def retired_doors(self) -> list[RetiredDoor]:
        """Retired doors, by site, building and number."""
        sql = """SELECT door, retired, retired_why FROM doors WHERE retired IS NOT NULL
            ORDER BY site, building, number"""
        return [read_retired(row) for row in self._rows(sql)]

    def door(
        self,
        number: str,
        site: str | None = None,
        building: str | None = None,
        retired: bool = False,
    ) -> Door:
        """The door of that number as last described. Raises UnknownDoorError if none or several
        match.

        Spelling variants ("１２", " 12 ", lower case) match if no door has exactly that number; if
        no door has it now, the one that had it last. retired: include doors no longer in use.
        """
        found = (
            self._doors(number, site, building)
            or self._doors_alike(number, site, building)
            or self._doors_once_called(number, site, building)
        )
        if not found:
            raise UnknownDoorError(
                f"There is no door {number} in the register. Add it first: doorround doors add."
            )
        if len(found) > 1:
            places = "; ".join(
                ", ".join(filter(None, (door.site, door.building))) or "no site" for door in found
            )
            raise UnknownDoorError(
                f"There are {len(found)} doors {number}: {places}. Say which: --site, --building."
            )
        if not retired:
            self._refuse_retired(found[0])
        return found[0]

    def _refuse_retired(self, door: Door) -> None:
        sql = (
            "SELECT retired, retired_why FROM doors WHERE number = ? AND site = ? AND building = ?"
        )
        for at, why in self._rows(sql, door.number, door.site, door.building):
            if at is not None:
                raise UnknownDoorError(
                    f"Door {door.number} was retired on {at[:10]}: {why}. "
                    f"If it is in use again: doorround doors bring-back {door.number} --why …"
                )

    def _doors_once_called(self, number: str, site: str | None, building: str | None) -> list[Door]:
        """Doors that had that number, under their current one."""
        sql = """SELECT o.number, d.door FROM door_names AS o
            JOIN door_names AS c ON c.id = o.id AND c.until IS NULL
            JOIN doors AS d ON d.number = c.number AND d.site = c.site AND d.building = c.building
            WHERE o.until IS NOT NULL AND o.site = coalesce(?, o.site)
                AND o.building = coalesce(?, o.building)
            ORDER BY o.until DESC"""
        once = (
            door
            for called, door in self._rows(sql, site, building)
            if same_number(called) == same_number(number)
        )
        return [Door.model_validate_json(door) for door in list(dict.fromkeys(once))[:1]]

    def labels(self) -> list[Labelled]:
        """The doors that labels were made for, including those with former numbers."""
        sql = """SELECT o.number, o.site, o.building, d.door, (
                SELECT count(DISTINCT b.id) FROM door_names AS b
                WHERE b.number = o.number AND b.site = o.site AND b.building = o.building
                    AND b.since < o.since AND b.id <> o.id
            )
            FROM doors AS d JOIN door_names AS o ON o.id = d.id
            WHERE d.retired IS NULL ORDER BY d.site, d.building, d.number, o.since"""
        found = []
        for number, site, building, body, before in self._rows(sql):
            door = Door.model_validate_json(body)
            name = {"number": number, "site": site, "building": building}
            found.append(Labelled(door.model_copy(update=name), before, door))
        return found

    def label(self, door: Door) -> Labelled:
        """The label data for a door, if made now."""
        return next(each for each in reversed(self.labels()) if each.called == each.door == door)

    def door_of_check(self, check: str, begun: Door) -> Door:
        """The door of a check as currently registered, even if renumbered meanwhile. begun: the
        door as at the start, for a check not begun yet.
        """
        for number, site, building in self._rows(
            "SELECT door, site, building FROM checks WHERE check_id = ?", check
        ):
            return self.door(number, site, building, retired=True)
        return self.door(begun.number, begun.site, begun.building)

    def _doors_alike(self, number: str, site: str | None, building: str | None) -> list[Door]:
        """Doors whose number differs only in spelling."""
        sql = """SELECT number, site, building FROM door_names
            WHERE until IS NULL AND site = coalesce(?, site) AND building = coalesce(?, building)"""
        alike = [
            row
            for row in self._rows(sql, site, building)
            if same_number(row[0]) == same_number(number)
        ]
        return [door for row in alike for door in self._doors(*row)]

    def _doors(self, number: str, site: str | None, building: str | None) -> list[Door]:
        sql = """SELECT door FROM doors WHERE number = ? AND site = coalesce(?, site)
            AND building = coalesce(?, building)"""
        return [Door.model_validate_json(row[0]) for row in self._rows(sql, number, site, building)]

    def several_sites(self) -> bool:
        """Whether the register has doors of more than one site; no site counts as a
        separate one.
        """
        sql = """SELECT EXISTS (
            SELECT 1 FROM door_status WHERE site > (SELECT min(site) FROM door_status))"""
        return bool(self._rows(sql)[0][0])

    def register_head(self) -> str:
        """Hash of the last register entry: unchanged as long as no door changes; "" for none."""
        sql = """SELECT hash FROM entries WHERE seq = (
            SELECT max(seq) FROM entries INDEXED BY entries_at_head_of_register
            WHERE kind IN ('door added', 'door changed', 'door moved', 'door renumbered',
                'door retired', 'door brought back'))"""
        # force that index, or SQLite scans back through all answers since
        rows = self._rows(sql)
        return str(rows[0][0]) if rows else ""
