"""What the tests' own runner of commands leaves behind it: nothing."""

import os
from http.server import HTTPServer, SimpleHTTPRequestHandler
from threading import Thread
from urllib.request import urlopen

from tests.program_here import run_here


class Silent(SimpleHTTPRequestHandler):
    """The files of a folder, without a line for each."""

    def log_message(self, *_):
        """Nothing."""


def test_the_proxy_of_one_command_is_not_that_of_what_comes_after_it(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("urllib.request._opener", None)
    (tmp_path / "there.txt").write_text("there", encoding="utf-8")
    proxied = {**os.environ, "DOORROUND_HOME": str(tmp_path / "home")}
    proxied |= dict.fromkeys(("http_proxy", "https_proxy"), "http://127.0.0.1:9")
    with HTTPServer(("127.0.0.1", 0), Silent) as server:
        Thread(target=server.serve_forever, daemon=True).start()
        address = f"http://127.0.0.1:{server.server_port}/there.txt"
        done = run_here(["models", "get", "vosk-model-small-en-us-0.15"], proxied)
        assert done.returncode, "the proxy discards everything"
        with urlopen(address, timeout=5) as answer:
            assert answer.read() == b"there"
        server.shutdown()
