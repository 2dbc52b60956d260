"""The instructor's side of a question: answer, why and wrong rules, each by its own button."""

import ipywidgets as widgets

from packlearn.panels.base import area, button, escape, paragraphs, row
from packlearn.tasks import checking
from packlearn.words import say


class Key(widgets.VBox):
    """Answer, working step by step, and what each wrong rule gives.

    Shown in instructor mode only; nothing is worked out before its button is pressed.

    Args:
        variant: the ``Variant`` on show.
        more: buttons that stand in the same row.
    """

    def __init__(self, variant, more=()):
        self.variant = variant
        self.answer_shown = False
        self.steps_shown = 0
        self.rules_shown = False
        self.buttons = {name: button(f"key.{name}") for name in ("answer", "why", "rules")}
        self.told = area("", "packlearn-status", "packlearn-key")
        super().__init__([row(*self.buttons.values(), *more), self.told])
        self.add_class("packlearn-keys")

    @property
    def actions(self):
        """Buttons and what each does, for the panel around to guard."""
        methods = (self.show_answer, self.show_step, self.turn_rules)
        return tuple(zip(self.buttons.values(), methods, strict=True))

    def restart(self, variant):
        """Start anew with another variant, everything hidden."""
        self.variant = variant
        self.answer_shown, self.steps_shown, self.rules_shown = False, 0, False
        self._update()

    def show_answer(self):
        """Show the right answer."""
        self.answer_shown = True
        self._update()

    def show_step(self):
        """Show one more step of the working."""
        self.steps_shown = min(self.steps_shown + 1, len(checking.working(self.variant)))
        self._update()

    def turn_rules(self):
        """Show or hide the wrong rules' values."""
        self.rules_shown = not self.rules_shown
        self._update()

    def _update(self):
        said = []
        if self.answer_shown:
            answer = checking.answer_in_words(self.variant)
            said.append(
                f"<p class='packlearn-answer'>{escape(say('panels.answer_is', answer=answer))}</p>"
            )
        parts, steps = [], checking.working(self.variant)[: self.steps_shown]
        if steps:
            parts.append(f"<ol class='packlearn-working'>{paragraphs(steps, tag='li')}</ol>")
        if self.rules_shown:
            parts.append(self._table())
        said += [f"<div class='packlearn-key-parts'>{''.join(parts)}</div>"] if parts else []
        self.told.value = "".join(said)

    def _table(self):
        pairs = checking.wrong_values(self.variant)
        if not pairs:
            return paragraphs([say("panels.key.no_rules")])
        heads = "".join(
            f"<th scope='col'>{escape(say(f'panels.key.{name}'))}</th>"
            for name in ("value", "slip", "number")
        )
        rows = "".join(
            f"<tr><td>{escape(value)}</td><td>{escape(rule.did)}</td><td>{escape(rule.id)}</td></tr>"
            for rule, value in pairs
        )
        return f"<table class='packlearn-table'><tr>{heads}</tr>{rows}</table>"
