"""Who may do what: one table over every address, and the guard that asks it before each request.

An address that is not in the table is closed to everybody who has to sign in; a test holds the
table against the app.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from fastapi import Request
from starlette.concurrency import run_in_threadpool

from gaugewalk.errors import NotAllowedError, SignInError
from gaugewalk.people.member import Member
from gaugewalk.people.rights import Right, roles_with
from gaugewalk.web.door import door_of
from gaugewalk.web.recognize import Recognizer


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """What an address asks for; none: it is open. A form may ask for more by its field `what`."""

    right: Right | None
    by_what: Mapping[str, Right] = field(default_factory=dict)


OPEN = Rule(right=None)
READ, RECORD, LIMITS = (Rule(right=right) for right in (Right.READ, Right.RECORD, Right.LIMITS))
_CLOSES = Rule(right=Right.RECORD, by_what={"close": Right.CLOSE, "name cause": Right.CLOSE})
_SIGNS = Rule(right=Right.RECORD, by_what={"sign": Right.SIGN, "take": Right.SIGN})

RULES: Mapping[str, Rule] = {
    # without having signed in
    "GET /healthz": OPEN,
    "GET /sign-in": OPEN,
    "POST /sign-in": OPEN,
    "GET /sign-in/elsewhere": OPEN,
    "GET /sign-in/back": OPEN,
    "POST /sign-out": OPEN,
    "POST /more/look": OPEN,
    "GET /about": OPEN,
    # what a phone keeps for when it has no network: the same for everybody, nothing of the plant
    "GET /worker.js": OPEN,
    "GET /manifest.webmanifest": OPEN,
    "GET /no-network": OPEN,
    "GET /waiting": OPEN,
    "GET /api/v1/units": OPEN,
    "GET /api/v1/clock": OPEN,
    # looking
    "GET /": READ,
    "GET /pumps": READ,
    "GET /pump/{tag}": READ,
    "GET /pump/{tag}/signs": READ,
    "GET /pump/{tag}/tools": READ,
    "GET /photo/{name}.jpg": READ,
    "GET /round-sheet/{name}": READ,
    "GET /tags": READ,
    "GET /type-in": RECORD,
    "GET /type-in/{round_id}/{tag}": RECORD,
    "POST /type-in": RECORD,
    "POST /type-in/{round_id}/{tag}": RECORD,
    "GET /round/{round_id}": READ,
    "GET /round/{round_id}/{tag}": READ,
    "GET /trouble/{trouble_id}": READ,
    "GET /handover": READ,
    "GET /handover.txt": READ,
    "GET /handover.pdf": READ,
    "GET /trouble/{trouble_id}/work-request": READ,
    "GET /trouble/{trouble_id}/work-request.pdf": READ,
    "GET /trouble/{trouble_id}/work-request.json": READ,
    "GET /rounds/quality": READ,
    "GET /export": READ,
    "GET /export/file": READ,
    "GET /work-it-out": READ,
    "GET /work-it-out/{name}": READ,
    "GET /causes": READ,
    "GET /causes/{cause_id}": READ,
    "GET /more": READ,
    "GET /metrics": READ,
    "GET /api/v1/pumps": READ,
    "GET /api/v1/pumps/{tag}": READ,
    "GET /api/v1/pumps/{tag}/why": READ,
    "GET /api/v1/watch": READ,
    "GET /api/v1/troubles/{trouble_id}": READ,
    "GET /take-along/book": READ,
    "GET /take-along/{round_id}": READ,
    "GET /due": READ,
    "GET /pump/{tag}/limits": READ,
    "GET /check-lists": READ,
    "GET /check-lists/{procedure}": READ,
    "GET /pump/{tag}/check-lists": READ,
    "GET /pump/{tag}/check-lists/{procedure}": READ,
    "GET /check-list/{run_id}": READ,
    # writing down
    "POST /rounds": RECORD,
    "POST /round/{round_id}/finish": RECORD,
    "POST /round/{round_id}/{tag}": RECORD,
    "POST /pump/{tag}": RECORD,
    "POST /pump/{tag}/photo": RECORD,
    "POST /pump/{tag}/signs": RECORD,
    "POST /trouble/{trouble_id}": _CLOSES,
    "POST /follow-up/{follow_up_id}": RECORD,
    "POST /handover": _SIGNS,
    "POST /trouble/{trouble_id}/work-request": RECORD,
    "POST /pump/{tag}/check-lists/{procedure}": RECORD,
    "POST /check-list/{run_id}": RECORD,
    "POST /pump/{tag}/limits": LIMITS,
    "POST /due/{tag}": RECORD,
    "POST /deed/{entry_id}": RECORD,
    "POST /more/name": RECORD,
    "POST /api/v1/readings": RECORD,
    "POST /api/v1/readings/batch": RECORD,
    "POST /api/v1/corrections": RECORD,
    "POST /api/v1/observations": RECORD,
    "POST /api/v1/skips": RECORD,
    "POST /api/v1/notes": RECORD,
    "POST /api/v1/actions": RECORD,
    "POST /api/v1/records": RECORD,
    "POST /api/v1/photos": RECORD,
    "POST /api/v1/events": RECORD,
    "POST /api/v1/follow-ups": RECORD,
    "POST /api/v1/follow-ups/answers": RECORD,
    "POST /api/v1/rounds/finish": RECORD,
}


async def admit(request: Request) -> None:
    """Let a request in, or not; keep who it is of.

    Raises
    ------
    SignInError
        Nobody has signed in.
    NotAllowedError
        The role does not have the right.
    """
    recognizer: Recognizer | None = request.app.state.recognizer
    if recognizer is None:
        return
    member = await _member(recognizer, request)
    request.state.member = member
    rule = RULES.get(f"{request.method} {request.scope['route'].path}")
    if rule is None:
        raise NotAllowedError("Nobody may do this: no role has been given the right to.")
    if rule.right is None:
        return
    if member is None:
        raise SignInError("Sign in first, or send a token that is still good.")
    _check(member, await _asked(rule, rule.right, request))


async def _member(recognizer: Recognizer, request: Request) -> Member | None:
    shown = recognizer.shown_by(request)
    if shown is None:
        return None
    now = door_of(request).now()
    known = recognizer.remembered(shown, now)
    return known or await run_in_threadpool(recognizer.look_up, shown, now)


async def _asked(rule: Rule, right: Right, request: Request) -> Right:
    if not rule.by_what:
        return right
    async with request.form(max_files=0, max_fields=50) as form:
        return rule.by_what.get(str(form.get("what", "")).strip(), right)


def _check(member: Member, right: Right) -> None:
    if not member.may(right):
        who = " or ".join(role.value.replace("-", " ") for role in roles_with(right))
        raise NotAllowedError(
            f"{member.name} is {member.role.value.replace('-', ' ')} here and may not "
            f"{_WORDS[right]}. Ask one who is {who}."
        )


_WORDS = {
    Right.READ: "look at this",
    Right.RECORD: "write anything down",
    Right.LIMITS: "change limits",
    Right.CLOSE: "close a trouble",
    Right.SIGN: "sign the handover",
    Right.SHAPE: "change the plant or its knowledge",
}
