"""What a question tells of a locked answer: how it compares, and which rule may be behind it."""

import ipywidgets as widgets

from packlearn.panels.base import guard, show
from packlearn.tasks import checking
from packlearn.tasks.answers import ASKED
from packlearn.words import say


class Telling:
    """Part of a question; for one with ``variant``, ``entries`` and ``which_row``."""

    @guard
    def say_which(self, rule):
        """Answer the rule the learner says they used, or lead to the first step."""
        if rule is None:
            self._tell([checking.first_step(self.variant)])
        else:
            self._tell([rule.sentence(self.variant.givens)])

    def _comparison(self, last):
        answer = checking.answer_of(self.task, self.variant.givens)
        low, high = answer if isinstance(answer, tuple) else (answer, answer)
        strictly = "more" if last.locked.value < low else "less"
        right = self._verdict(last).right
        if right and self.task.kind == "range":
            read_off = ASKED[self.task.asked].by_eye
            return say("panels.compare.within_reading" if read_off else "panels.compare.within")
        # An answer worked out in floats may be off in its last digit.
        hair = 1e-9 * max(abs(low), abs(high))
        apart = not low - hair <= last.locked.value <= high + hair
        if right and apart and last.saw == strictly:
            return say("panels.compare.near")
        relation = "equal" if right else strictly
        key = "agree" if last.saw == relation else "differ"
        return say(f"panels.compare.{key}", how=say(f"panels.compare.{relation}"))

    def _offer_rules(self, phase):
        told = self.entries and not (self.held or self.told_only)
        verdict = self._verdict(self.entries[-1]) if told else None
        ask = verdict is not None and verdict.kind == "which" and phase != "look"
        if ask:
            rules = [*verdict.rules, None]
            self.which_row.children = [self._which_button(rule) for rule in rules]
        show(self.which_row, ask)

    def _which_button(self, rule):
        text = rule.did if rule else say("panels.none_of_these")
        choice = widgets.Button(description=text, tooltip=text, layout=widgets.Layout(width="auto"))
        choice.on_click(lambda _: self.say_which(rule))
        return choice
