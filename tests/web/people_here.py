"""Who may sign in at the small plant, and a browser that does."""

from starlette.testclient import TestClient

PASSWORD = "lantern ring follows gland"


class Browser:
    """A browser: keeps cookies, and tells the origin of what it posts."""

    def __init__(self, app: object, *, address: str = "http://testserver") -> None:
        self.client = TestClient(app, base_url=address, follow_redirects=False)  # type: ignore[arg-type]
        self.origin = {"origin": address, "accept": "text/html"}

    def get(self, path: str):  # whatever the test client returns
        return self.client.get(path, headers={"accept": "text/html"})

    def post(self, path: str, **sent: object):
        return self.client.post(path, headers=self.origin, **sent)  # type: ignore[arg-type]

    def sign_in(self, name: str, password: str = PASSWORD, to: str = "/"):
        return self.post("/sign-in", data={"name": name, "password": password, "to": to})
