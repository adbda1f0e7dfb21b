"""The forms that the pages hold, found by walking from link to link as a person does."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser

from starlette.testclient import TestClient

BOOKS = ("/work-it-out/", "/causes/")  # many pages of one kind, without forms of their own


@dataclass(kw_only=True)
class Form:
    """Where a form is sent, and what it holds before anybody has typed."""

    action: str
    fields: dict[str, list[str]] = field(default_factory=dict)  # name -> values to choose from


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.forms: list[Form] = []
        self.links: list[str] = []
        self._select = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = {name: value or "" for name, value in attrs}
        if tag == "a" and told.get("href", "").startswith("/"):
            self.links.append(told["href"].partition("#")[0])
        if tag == "form" and told.get("method") == "post":
            self.forms.append(Form(action=told.get("action", "")))
        name = told.get("name", "")
        if tag == "option" and self._select and self.forms:
            self.forms[-1].fields.setdefault(self._select, []).append(told.get("value", ""))
        self._select = name if tag == "select" else self._select if tag == "option" else ""
        if tag in ("input", "textarea", "button") and name and self.forms:
            self.forms[-1].fields.setdefault(name, []).append(told.get("value", ""))


def forms_on(door: TestClient, first: str = "/", most: int = 80) -> Iterator[Form]:
    """Walk from page to page and yield each form once."""
    to_see, seen, known = [first], {first}, set()
    for _ in range(most):
        if not to_see:
            return
        answer = door.get(to_see.pop(0))
        assert answer.status_code < 500, answer.url
        if "html" not in answer.headers.get("content-type", ""):
            continue
        reader = _Reader()
        reader.feed(answer.text)
        for form in reader.forms:
            here = Form(action=form.action or answer.url.path, fields=form.fields)
            sort = (here.action, tuple(sorted(here.fields)))
            if here.fields and sort not in known:
                known.add(sort)
                yield here
        fresh = [link for link in dict.fromkeys(reader.links) if link not in seen]
        fresh = [link for link in fresh if not link.startswith(BOOKS)]
        seen.update(fresh)
        to_see += fresh
