"""The chat: read a line, hear it, print the reply, until ctrl-d; a line that breaks something ends no talk."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from prompt_toolkit import PromptSession
from prompt_toolkit.auto_suggest import AutoSuggestFromHistory
from prompt_toolkit.completion import CompleteEvent, Completer, Completion
from prompt_toolkit.document import Document
from prompt_toolkit.history import FileHistory, History, InMemoryHistory
from prompt_toolkit.layout.processors import Processor, Transformation, TransformationInput
from prompt_toolkit.styles import Style
from prompt_toolkit.utils import is_dumb_terminal

from assistant import first_run
from assistant.clean import clean_line, clean_reply, marked
from assistant.complete import completions
from assistant.conversation import Conversation
from assistant.first_run import Step
from assistant.hearing import heard
from assistant.mishaps import mishap
from assistant.places import private_file, state_folder
from assistant.turn import Turn
from assistant.wording.text import day, plural, screen_width, wrapped
from engine.book import Book
from engine.crop_table import published
from engine.errors import BookError
from engine.names import Names

Prompt = Callable[[str], str]

PROMPT = "> "
LONGEST_HISTORY = 1_000_000  # bytes: some 25,000 lines, several seasons of evenings
GREETING = 'Say what was done or ask what is coming; "help" shows how, ctrl-d leaves.'
STOPPED = 'Stopped in the middle of that line; ask "recap today" to see whether it was kept.'

# Weight and inversion only, never a colour: the bottom line is as legible without it.
STYLE = Style.from_dict({"bottom-toolbar": "reverse", "auto-suggestion": "italic"})


@dataclass(slots=True)
class Chat:
    """A talk over one book. `clock` gives the day anew for each line, since a chat may stay open past midnight."""

    conversation: Conversation
    book: Book
    clock: Callable[[], date]
    farm: str = ""
    kept: Counter[str] = field(default_factory=Counter)
    step: Step = Step.DONE

    def run(self) -> None:
        """Talks until the person leaves, then says in one line what the shift came to."""
        prompt: Prompt = input if is_dumb_terminal() else self._session().prompt
        self._look_at_the_farm()
        self._greet()
        try:
            self._talk(prompt)
        except Exception as error:  # noqa: BLE001  a line editor that breaks must not take the evening with it
            print(mishap(error))
            self._talk(input)
        print(fitting(self.leaving()))

    def _talk(self, prompt: Prompt) -> None:
        while (lines := self._lines(prompt)) is not None:
            self._hear_all(lines)

    def _session(self) -> PromptSession[str]:
        """The line with history, suggestions, completion and the bottom line; a dumb terminal can show none of them."""
        return PromptSession(
            history=history(),
            auto_suggest=AutoSuggestFromHistory(),
            completer=NameCompleter(self.book.names),
            input_processors=[SafeEcho()],
            bottom_toolbar=self.bottom_line,
            style=STYLE,
        )

    def _look_at_the_farm(self) -> None:
        settings = self.book.season(self.clock()).settings
        self.farm = str(settings.get("farm", "")) or "Farm book"

    def _greet(self) -> None:
        if self.book.names().plots:
            print(fitting(GREETING))
            return
        self.step = Step.PLOTS
        print(fitting(first_run.WELCOME))
        print(fitting(first_run.ASKED[self.step]))

    def _lines(self, prompt: Prompt) -> list[str] | None:
        """What was typed or pasted; nothing where the line was dropped with ctrl-c, None when the person leaves."""
        try:
            return prompt(PROMPT).splitlines() or [""]
        except KeyboardInterrupt:
            return []
        except EOFError:
            return None

    def _hear_all(self, lines: Sequence[str]) -> None:
        for line in lines:
            if len(lines) > 1:
                print(f"{PROMPT}{clean_line(line)}")
            try:
                self._say(self._answers(line))
            except KeyboardInterrupt:
                print(fitting(STOPPED))
                return
            except BookError as error:
                print(fitting(clean_reply(str(error))))
            except Exception as error:  # noqa: BLE001  a fault in one reply must not end the evening's talk
                print(mishap(error))

    def _answers(self, line: str) -> Iterable[str]:
        """The replies to one line, which while the guide is asking may stand for several phrases."""
        if self.step is Step.DONE or self.conversation.open_question:
            yield self.hear(line).reply
        else:
            given = first_run.take(self.step, line)
            turns = [self.hear(phrase) for phrase in given.phrases]
            yield from (turn.reply for turn in turns)
            if all(turn.understood for turn in turns):
                yield fitting(given.remark)
                self.step = given.step
        if self.step is not Step.DONE and not self.conversation.open_question:
            yield fitting(first_run.ASKED[self.step])

    def hear(self, line: str) -> Turn:
        """What came of a line; what it wrote is counted for the last word of the shift."""
        self.conversation.today = self.clock()
        self.conversation.width = screen_width()
        turn = heard(self.conversation, line)
        kinds = [record["kind"] for record in turn.records]
        self.kept.update(kinds)
        if "setting" in kinds:
            self._look_at_the_farm()
        return turn

    def _say(self, replies: Iterable[str]) -> None:
        for reply in replies:
            if reply:
                print(clean_reply(reply))

    def bottom_line(self) -> str:
        """Farm, day and what is still asked, cut to the width of the screen."""
        parts = [self.farm, f"{day(self.clock())} {self.clock().year}"]
        if question := self.conversation.open_question:
            parts.append(f"open: {question.text}")
        return "  ".join(map(clean_line, parts))[: screen_width() - 1]

    def leaving(self) -> str:
        """One line on the records of this shift."""
        if not self.kept:
            return "Nothing was written to the book."
        kinds = ", ".join(f"{count} {kind.replace('_', ' ')}" for kind, count in self.kept.most_common())
        return f"{plural(self.kept.total(), 'record')} written: {kinds}."


def fitting(said: str) -> str:
    """What the chat says of itself, no line of it wider than the screen."""
    return "\n".join(wrapped(line, screen_width()) for line in said.splitlines())


class NameCompleter(Completer):
    """Completion as prompt_toolkit wants it; names are asked for anew, so a bed just added is offered."""

    def __init__(self, names: Callable[[], Names]) -> None:
        self.names = names
        self.crops = tuple(published())

    def get_completions(self, document: Document, complete_event: CompleteEvent) -> Iterable[Completion]:
        for offer in completions(document.current_line_before_cursor, self.names(), self.crops):
            yield Completion(clean_line(offer.text), start_position=-offer.replaces)


class SafeEcho(Processor):
    """What is typed or pasted is echoed without escapes and with a mark for what cannot be seen."""

    def apply_transformation(self, transformation_input: TransformationInput) -> Transformation:
        return Transformation([(part[0], marked(part[1])) for part in transformation_input.fragments])


class CleanHistory(FileHistory):
    """Lines typed before, kept across runs; a full disk costs the history, never the talk."""

    def append_string(self, string: str) -> None:
        super().append_string("\n".join(map(clean_line, string.splitlines())))

    def store_string(self, string: str) -> None:
        try:
            super().store_string(string)
        except OSError:
            return


def history() -> History:
    """The history file of this person, or one that lasts for this talk only where no file can be written."""
    try:
        file = private_file(state_folder() / "history")
        _shorten(file)
    except OSError:
        return InMemoryHistory()
    return CleanHistory(str(file))


def _shorten(file: Path) -> None:
    """Drops the older half of a history grown too long, at the start of an entry ("# " and its time)."""
    text = file.read_bytes()
    if len(text) > LONGEST_HISTORY:
        file.write_bytes(text[text.find(b"\n# ", len(text) // 2) :])
