"""Earlier jobs that serve a new one."""

from __future__ import annotations

from dataclasses import dataclass

from kb.store.place import Store
from kb.store.records import Records, RecordSummary
from wizard import words
from wizard.desk.pairing import Worked
from wizard.search.reuse import Reuse, compare, rank

MOST_NAMED = 4


@dataclass(frozen=True, kw_only=True)
class Earlier:
    """A kept job and how it serves."""

    job: RecordSummary
    reuse: Reuse

    @property
    def says(self) -> str:
        """In one or two sentences."""
        found = self.reuse
        said = [f"Can be used {found.how}." if found.how != "one side" else "Shares one side only."]
        if found.stays:
            said.append(f"Stays: {', '.join(found.stays)}.")
        if found.changes:
            said.append(f"Changes: {'; '.join(words.said(one) for one in found.changes)}.")
        if found.differs:
            named = ", ".join(f"{words.label(one.key)} {one.now - one.then:+.2f} mm (z {min(one.z, 99):.1f})" for one in found.differs[:MOST_NAMED])  # fmt: skip
            said.append(f"Differs beyond its ±: {named}.")
        return " ".join(said)


def earlier(store: Store, worked: Worked) -> list[Earlier]:
    """The kept jobs that serve a job, the one of most use first; each in its newest issue.

    Raises:
        StoreError: the store cannot be read, or a document is not the one that was kept.
    """
    records = Records(store)
    found = []
    for row in records.list():
        reuse = compare(worked.answer, records.get(row.number).answer)
        if reuse is not None:
            found.append(Earlier(job=row, reuse=reuse))
    return sorted(found, key=lambda one: (*rank(one.reuse), -one.job.number))
