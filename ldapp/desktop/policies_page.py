"""Policies over all claims: how their limits are used up, which claims differ, certificates."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSettings, Qt, Slot
from PySide6.QtWidgets import (
    QPushButton,
    QSplitter,
    QStackedWidget,
    QTabWidget,
    QWidget,
)

from ldapp.casework.policy_use import PolicyAccount, UseLine
from ldapp.desktop.certificates_panel import CertificatesPanel
from ldapp.desktop.column_memory import ColumnMemory
from ldapp.desktop.overview_page import OverviewPage, fill_sheet, table_of
from ldapp.desktop.policies_columns import (
    ACCOUNT_COLUMNS,
    LINE_COLUMNS,
    MEMBER_COLUMNS,
    Member,
)
from ldapp.desktop.policies_reading import Loaded, load
from ldapp.desktop.question import ask
from ldapp.desktop.theme import TypeSize
from ldapp.desktop.widgets.pieces import EmptyState, Figure, Label
from ldapp.desktop.widgets.table_model import RowsModel
from ldapp.desktop.widgets.values import amount_text
from ldapp.language import marked, said, said_of
from ldapp.local_forms import local_number

if TYPE_CHECKING:
    from ldapp.casework.register import Register
    from ldapp.desktop.jobs import Progress


class PoliciesPage(OverviewPage):
    """Accounts of the policies above, and what belongs to the chosen one below."""

    title = marked("Policies and certificates")
    name = "policies"

    def __init__(self, settings: QSettings, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._loaded = Loaded((), {}, (), (), {})
        self.accounts_model = RowsModel(ACCOUNT_COLUMNS, lambda one: one.key, parent=self)
        self.accounts = table_of(said("Policies"), self.accounts_model)
        self.accounts.selectionModel().currentRowChanged.connect(self._show_account)
        self.lines_model = RowsModel(
            LINE_COLUMNS, lambda one: (one.claim, one.at, one.used_so_far), parent=self
        )
        self.lines = table_of(said("Use in order of occurrence"), self.lines_model)
        self.lines.opened.connect(self._open)
        self.members_model = RowsModel(MEMBER_COLUMNS, lambda one: one.claim, parent=self)
        self.members = table_of(said("Claims under this policy"), self.members_model)
        self.members.opened.connect(self._open)
        self.certificates = CertificatesPanel(self._policy_chosen)
        self.certificates.job_wanted.connect(self.job_wanted)
        self.certificates.change_wanted.connect(self.change_wanted)
        self.certificates.refused.connect(self.refused)
        self.certificates.changed.connect(self.reload)
        self._memories = [
            ColumnMemory(table, settings, f"policies/{name}")
            for name, table in (
                ("accounts", self.accounts),
                ("lines", self.lines),
                ("members", self.members),
                ("certificates", self.certificates.table),
            )
        ]
        self.empty = EmptyState(
            said(
                "No claim has a policy with a number yet. Enter it under Papers in a "
                "claim; its annual limit is then followed here over all claims, in order "
                "of occurrence."
            )
        )
        self._stack = QStackedWidget()
        self._stack.addWidget(self.accounts)
        self._stack.addWidget(self.empty)
        splitter = QSplitter(Qt.Orientation.Vertical)
        splitter.addWidget(self._stack)
        splitter.addWidget(self._tabs())
        splitter.setChildrenCollapsible(False)
        splitter.setStretchFactor(0, 2)
        splitter.setStretchFactor(1, 3)
        self.column.addWidget(splitter, 1)

    def _tabs(self) -> QTabWidget:
        tabs = QTabWidget()
        tabs.setDocumentMode(True)
        tabs.setAccessibleName(said("What belongs to the chosen policy"))
        self.figures = {
            name: Figure(caption)
            for name, caption in (
                ("limit", said("Annual limit")),
                ("used", said("Used")),
                ("left", said("Left")),
            )
        }
        self.accept_button = QPushButton(said("State what earlier claims used…"))
        self.accept_button.clicked.connect(self._accept)
        self.lower_button = QPushButton(said("Lower to what is known here…"))
        self.lower_button.clicked.connect(self._accept_lower)
        self.working = Label("", TypeSize.SMALL, muted=True, wrap=True)
        use = QWidget()
        fill_sheet(
            use,
            self.lines,
            figures=tuple(self.figures.values()),
            buttons=(self.lower_button, self.accept_button),
            words=self.working,
        )
        tabs.addTab(use, said("&Use in order of occurrence"))
        self.keep_button = QPushButton(said("Keep this claim's policy for the office"))
        self.keep_button.clicked.connect(self._keep)
        self.update_button = QPushButton(said("Bring claims that differ to the office's policy…"))
        self.update_button.clicked.connect(self._update)
        claims = QWidget()
        fill_sheet(claims, self.members, buttons=(self.keep_button, self.update_button))
        tabs.addTab(claims, said("Claims under &it"))
        tabs.addTab(self.certificates, said("&Students' certificates"))
        self.tabs = tabs
        return tabs

    # --- what is shown ---------------------------------------------------------------------

    def reload(self) -> None:
        """Read everything anew."""
        self.job_wanted.emit(said("Policies"), load, self._show)

    @Slot(object)
    def _show(self, loaded: Loaded) -> None:
        self._loaded = loaded
        self.accounts_model.set_rows(loaded.accounts)
        self.certificates.show_certificates(loaded.certificates, loaded.versions)
        self._stack.setCurrentIndex(0 if loaded.accounts else 1)
        if loaded.accounts and not self.accounts.currentIndex().isValid():
            self.accounts.selectRow(0)
        self._show_account()

    def account(self) -> PolicyAccount | None:
        """Return the chosen policy."""
        row: PolicyAccount | None = self.accounts.current_row()
        return row

    def _policy_chosen(self) -> tuple[str, str]:
        account = self.account()
        return ("", "USD") if account is None else (account.number, account.currency)

    def chosen_members(self) -> tuple[Member, ...]:
        """Return the claims of the chosen policy."""
        account = self.account()
        if account is None:
            return ()
        return self._loaded.members[self._loaded.accounts.index(account)]

    @Slot()
    def _show_account(self) -> None:
        account = self.account()
        lines: tuple[UseLine, ...] = () if account is None else account.lines
        self.lines_model.set_rows(lines)
        members = self.chosen_members()
        self.members_model.set_rows(members)
        differing = sum(one.state == "differs" for one in members)
        self.update_button.setEnabled(bool(differing))
        self.keep_button.setEnabled(bool(members))
        proposals = () if account is None else account.proposals
        self.accept_button.setEnabled(any(not one.lowers for one in proposals))
        self.lower_button.setVisible(any(one.lowers for one in proposals))
        for name, figure in self.figures.items():
            amount = None if account is None else getattr(account, name)
            figure.show_figure(
                "–" if amount is None or account is None
                else f"{amount_text(amount, account.currency)} {account.currency}"
            )  # fmt: skip
        self.working.setText("" if account is None else self._says(account))

    def _says(self, account: PolicyAccount) -> str:
        says = list(account.remarks)
        if account.limit is None:
            says.append(said("The policy states no annual limit."))
        for one in account.proposals[:3]:
            says.append(
                said(
                    "{reference} states {stated} used before it; the claims before it come "
                    "to {proposed} ({listed}).",
                    reference=one.reference,
                    stated=local_number(f"{one.stated:,}"),
                    proposed=local_number(f"{one.proposed:,}"),
                    listed="; ".join(one.working[:-1]) or said("nothing"),
                )
                + (
                    said(" Claims that are kept elsewhere may have used the rest.")
                    if one.lowers
                    else ""
                )
            )
        if len(account.proposals) > 3:
            says.append(
                said_of(
                    len(account.proposals) - 3,
                    "So do {count} more claims.",
                    "So do {count} more claims.",
                )
            )
        return "\n".join(says)

    @Slot(object)
    def _open(self, row: UseLine | Member | None) -> None:
        if row is not None:
            self.open_wanted.emit(row.claim)

    def remember(self) -> None:
        """Write the columns' widths to the settings."""
        for memory in self._memories:
            memory.save()

    # --- what is done ----------------------------------------------------------------------

    @Slot()
    def _accept(self) -> None:
        self._accept_all(lower=False)

    @Slot()
    def _accept_lower(self) -> None:
        self._accept_all(lower=True)

    def _accept_all(self, *, lower: bool) -> None:
        account = self.account()
        if account is None:
            return
        number = sum(lower or not one.lowers for one in account.proposals)
        if not ask(
            self,
            said("State what earlier claims used"),
            said_of(
                number,
                "Change the policy of {count} claim so that each states what the claims before "
                "it used?",
                "Change the policy of {count} claims so that each states what the claims before "
                "it used?",
            ),
            self._says(account)
            + said(
                "\nEach is a change of its own in the claim's record, and each claim is "
                "reckoned before the next is looked at: thousands take some minutes. The "
                "work can be stopped; what is stated by then stays, and the rest can "
                "follow later."
            ),
            said("State it"),
        ):
            return

        def work(register: Register, progress: Progress) -> int:
            from ldapp.casework.policy_use import accept_proposals  # noqa: PLC0415

            return accept_proposals(
                register.rows_with_figures,
                register.open,
                register.reckon,
                account.key,
                lower=lower,
                progress=progress,
            )

        self.change_wanted.emit(said("Stating what was used"), work, self._on_changed)

    @Slot()
    def _update(self) -> None:
        members = [one for one in self.chosen_members() if one.state == "differs"]
        if not members or members[0].record is None:
            return
        record = members[0].record
        named = ", ".join(one.reference for one in members[:8])
        if not ask(
            self,
            said("Bring claims to the office's policy"),
            said_of(
                len(members),
                "Take the office's policy {number} over into {count} claim?",
                "Take the office's policy {number} over into {count} claims?",
                number=record.number,
            ),
            said(
                "{claims}\nTheir own claim numbers, papers and days stay. Each is a "
                "change of its own in the claim's record and can be undone there.",
                claims=named + (" …" if len(members) > 8 else ""),
            ),
            said("Take it over"),
        ):
            return
        ids = tuple(one.claim for one in members)

        def work(register: Register, progress: Progress) -> int:
            from ldapp.casework.shared_policies import update_claims  # noqa: PLC0415

            return update_claims(register.open, ids, record, register.reckon, progress)

        self.change_wanted.emit(said("Taking the policy over"), work, self._on_changed)

    @Slot()
    def _keep(self) -> None:
        chosen: Member | None = self.members.current_row()
        members = self.chosen_members()
        if chosen is None and members:
            chosen = members[0]
        if chosen is None:
            return
        claim = chosen.claim

        def work(register: Register, progress: Progress) -> None:
            from ldapp.casework.shared_policies import keep_policy  # noqa: PLC0415

            progress(0, 0)
            desk = register.open(claim)
            keep_policy(register, desk)
            register.reckon(desk)

        self.job_wanted.emit(said("Keeping the policy"), work, self._on_kept)

    @Slot(object)
    def _on_kept(self, result: object) -> None:
        del result
        self.told.emit(
            said("Kept for the office. Claims that differ are listed; nothing was changed in them.")
        )
        self.reload()

    @Slot(object)
    def _on_changed(self, number: int) -> None:
        self.told.emit(
            said_of(
                number,
                "{count} claim changed; each can be undone in the claim.",
                "{count} claims changed; each can be undone in the claim.",
            )
        )
        self.reload()
