"""Sign in at the plant's own provider by OpenID Connect: authorization code with PKCE.

The provider says who somebody is. What they may do here stands in their account here.
"""

import json
import secrets
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from urllib.error import URLError
from urllib.parse import urlsplit
from urllib.request import HTTPRedirectHandler, Request, build_opener

from gaugewalk.errors import ArgumentError, SignInError, extra

CLAIMS = ("sub", "email")  # which of the provider's names an account is known by
SCOPE = "openid email"
_SIGNED_BY = ["RS256", "PS256", "ES256", "EdDSA"]  # never a shared secret, never nothing
_LARGEST = 1_000_000  # bytes of one answer
_SECONDS = 10.0
_LEEWAY = 60  # s that the two clocks may differ
_LOOPBACK = ("127.0.0.1", "localhost", "::1")


@dataclass(frozen=True, slots=True, kw_only=True)
class Provider:
    """The provider, and what it knows this app by."""

    issuer: str
    client_id: str
    client_secret: str = field(repr=False)
    claim: str = "sub"

    def __post_init__(self) -> None:
        if self.claim not in CLAIMS:
            raise ArgumentError(f"claim = {self.claim[:40]!r}; expected {' or '.join(CLAIMS)}.")
        _checked(self.issuer, "issuer")


@dataclass(frozen=True, slots=True, kw_only=True)
class Begun:
    """A sign-in under way: where to send the person, and what the answer must fit."""

    address: str
    state: str
    nonce: str
    verifier: str


def begin(provider: Provider, redirect: str) -> Begun:
    """Make the address at the provider where somebody signs in."""
    with extra("people", "Sign-in by OpenID Connect"):
        from authlib.oauth2.rfc6749.parameters import prepare_grant_uri
        from authlib.oauth2.rfc7636 import create_s256_code_challenge
    state, nonce, verifier = (secrets.token_urlsafe(48) for _ in range(3))
    address = prepare_grant_uri(
        _described(provider)["authorization_endpoint"],
        client_id=provider.client_id,
        response_type="code",
        redirect_uri=redirect,
        scope=SCOPE,
        state=state,
        nonce=nonce,
        code_challenge=create_s256_code_challenge(verifier),
        code_challenge_method="S256",
    )
    return Begun(address=address, state=state, nonce=nonce, verifier=verifier)


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What came back from the provider, with what it must fit."""

    code: str
    nonce: str
    verifier: str
    redirect: str


def finish(provider: Provider, answer: Answer, now: datetime) -> str:
    """Exchange the code for who it is; return the name that an account is known by.

    Raises
    ------
    SignInError
        The provider refuses, cannot be reached, or says something that does not hold.
    """
    from authlib.oauth2.rfc6749.parameters import prepare_token_request

    described = _described(provider)
    body = prepare_token_request(
        "authorization_code",
        redirect_uri=answer.redirect,
        code=answer.code,
        code_verifier=answer.verifier,
        client_id=provider.client_id,
        client_secret=provider.client_secret,
    )
    said = _fetched(described["token_endpoint"], body.encode())
    keys = _fetched(described["jwks_uri"])
    claims = _claims(provider, str(said.get("id_token", "")), keys, answer.nonce, now)
    if provider.claim == "email" and claims.get("email_verified") is not True:
        raise SignInError("The provider has not verified this mail address, so it proves nothing.")
    name = claims.get(provider.claim)
    if not isinstance(name, str) or not name:
        raise SignInError(f"The provider told no {provider.claim}.")
    return name


def _claims(
    provider: Provider, token: str, keys: Mapping[str, Any], nonce: str, now: datetime
) -> Mapping[str, Any]:
    """Check the ID token: signature, who made it, for whom, when, for this very sign-in."""
    from authlib.oidc.core import CodeIDToken
    from joserfc import jwt
    from joserfc.errors import JoseError
    from joserfc.jwk import KeySet

    try:
        known = KeySet.import_key_set({"keys": list(keys["keys"])})
        decoded = jwt.decode(token, known, algorithms=_SIGNED_BY)
        claims = CodeIDToken(
            decoded.claims,
            decoded.header,
            {
                "iss": {"essential": True, "value": provider.issuer},
                "aud": {"essential": True, "value": provider.client_id},
            },
            {"nonce": nonce, "client_id": provider.client_id},
        )
        claims.validate(now=int(now.timestamp()), leeway=_LEEWAY)
    except (JoseError, ValueError, TypeError, KeyError) as error:
        raise SignInError(f"What the provider said does not hold ({error}). Try again.") from error
    return dict(claims)


def _described(provider: Provider) -> Mapping[str, str]:
    """Return what the provider says of itself; it must be the one that was asked."""
    found = _fetched(provider.issuer.rstrip("/") + "/.well-known/openid-configuration")
    if found.get("issuer") != provider.issuer:
        raise SignInError(f"The provider calls itself {str(found.get('issuer'))[:80]!r}.")
    names = ("authorization_endpoint", "token_endpoint", "jwks_uri")
    return {name: _checked(str(found.get(name, "")), name) for name in names}


def _checked(address: str, what: str) -> str:
    """Return an address that may be asked: by https, or on this computer."""
    parts = urlsplit(address)
    if parts.scheme == "https" or (parts.scheme == "http" and parts.hostname in _LOOPBACK):
        return address
    raise ArgumentError(
        f"{what} = {address[:80]!r}; expected an address that begins with https://."
    )


class _Still(HTTPRedirectHandler):
    """Goes nowhere else than asked."""

    def redirect_request(self, *_args: Any, **_named: Any) -> None:
        """Return nothing: a redirect is an error."""


def _fetched(address: str, body: bytes | None = None) -> Mapping[str, Any]:
    headers = {"Accept": "application/json"}
    request = Request(address, data=body, headers=headers)  # noqa: S310  # the scheme was checked
    try:
        with build_opener(_Still).open(request, timeout=_SECONDS) as answer:
            found = json.loads(answer.read(_LARGEST))
    except (URLError, OSError, ValueError) as error:
        raise SignInError(
            "The provider cannot be reached or refuses. Try again, or sign in with a password."
        ) from error
    if not isinstance(found, dict):
        raise SignInError("The provider answered with something else than was asked.")
    return found
