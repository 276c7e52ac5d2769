"""The proxies of docs/serving.md, where one is on this machine: real TLS in, the webhook behind
it.
"""

import asyncio
import re
import shutil
import socket
import ssl
import subprocess
from pathlib import Path

import httpx
import pytest
from service import until

from doorround.channels.telegram.transport.webhook import SECRET_HEADER, Server
from doorround.channels.telegram.wire.options import Webhook

PAGE = (Path(__file__).parents[2] / "docs" / "serving.md").read_text(encoding="utf-8")
SECRET = "a-long-word-that-nobody-guesses"
SHOWN = {SECRET_HEADER: SECRET}


def free_port():
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        return found.getsockname()[1]


def block(kind):
    return re.search(rf"^```{kind}\n(.*?)^```", PAGE, re.MULTILINE | re.DOTALL)[1]


def nginx(folder, front, back):
    text = (
        block("nginx")
        .replace("listen 443", f"listen 127.0.0.1:{front}")
        .replace(":8443", f":{back}")
    )
    text = re.sub(r"(ssl_certificate\s+)\S+;", rf"\1{folder}/cert.pem;", text)
    text = re.sub(r"(ssl_certificate_key\s+)\S+;", rf"\1{folder}/key.pem;", text)
    places = "".join(
        f"{kind}_temp_path {folder}/{kind};"
        for kind in ("client_body", "proxy", "fastcgi", "uwsgi", "scgi")
    )
    begin = f"daemon off; pid {folder}/pid; error_log {folder}/log; events {{}}"
    whole = f"{begin} http {{ access_log off; {places} {text} }}"
    (folder / "nginx.conf").write_text(whole, encoding="utf-8")
    return ["nginx", "-e", f"{folder}/log", "-p", str(folder), "-c", f"{folder}/nginx.conf"]


def caddy(folder, front, back):
    text = block("caddy").replace(":8443", f":{back}")
    text = text.replace(
        "doors.example.org {", f"https://doors.example.org:{front} {{\n\ttls cert.pem key.pem", 1
    )
    (folder / "Caddyfile").write_text(
        "{\n\tadmin off\n\tauto_https disable_redirects\n}\n" + text, encoding="utf-8"
    )
    return ["caddy", "run", "--config", f"{folder}/Caddyfile", "--adapter", "caddyfile"]


@pytest.fixture
def certificate(tmp_path):
    subject = ["-subj", "/CN=doors.example.org", "-addext", "subjectAltName=DNS:doors.example.org"]
    made = ["openssl", "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2", *subject]
    subprocess.run(
        [*made, "-keyout", "key.pem", "-out", "cert.pem"],
        cwd=tmp_path,
        check=True,
        capture_output=True,
    )
    return tmp_path


def answers(port):
    with socket.socket() as tried:
        return tried.connect_ex(("127.0.0.1", port)) == 0


@pytest.mark.parametrize("proxy", (nginx, caddy), ids=lambda proxy: proxy.__name__)
async def test_an_update_comes_through_and_nothing_else_does(proxy, request):
    if not shutil.which(proxy.__name__) or not shutil.which("openssl"):
        pytest.skip(f"no {proxy.__name__} here")
    folder = request.getfixturevalue("certificate")
    front = free_port()
    back = free_port()
    kept = []
    hook = Webhook("https://doors.example.org/telegram", SECRET, port=back)
    listening = asyncio.create_task(Server(hook, kept.extend).listen())
    quiet = asyncio.subprocess.DEVNULL
    command = proxy(folder, front, back)
    home = {"HOME": str(folder), "XDG_DATA_HOME": str(folder), "PATH": "/usr/bin"}
    running = await asyncio.create_subprocess_exec(
        shutil.which(command[0]), *command[1:], cwd=folder, stdout=quiet, stderr=quiet, env=home
    )
    try:
        await until(lambda: answers(front) and answers(back))
        trusted = ssl.create_default_context(cafile=str(folder / "cert.pem"))
        ask = {
            "headers": {"Host": f"doors.example.org:{front}"},
            "extensions": {"sni_hostname": "doors.example.org"},
        }
        async with httpx.AsyncClient(
            verify=trusted, base_url=f"https://127.0.0.1:{front}", trust_env=False
        ) as client:

            async def post(path="/telegram", content=b'{"update_id": 7}', shown=SHOWN):
                given = {**ask, "headers": {**ask["headers"], **shown}}
                return (await client.post(path, content=content, **given)).status_code

            assert await post() == 200 and kept == [{"update_id": 7}]
            assert await post(shown={}) == 403
            assert await post("/elsewhere") == 404
            # Caddy 2.6 says 502 where later ones say 413
            assert await post(content=b'"' + b"x" * 1_200_000 + b'"') in (413, 502)
            assert kept == [{"update_id": 7}]
    finally:
        running.terminate()
        await running.wait()
        listening.cancel()
        await asyncio.gather(listening, return_exceptions=True)
