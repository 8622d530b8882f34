"""Chromium by way of the DevTools protocol over a pair of pipes: no port, no further package."""

import base64
import json
import os
import subprocess
import tempfile


class Browser:
    """One tab. Everything that the page reports is kept in `events`."""

    def __init__(self, program):
        # The browser may still write into it while it ends.
        self.profile = tempfile.TemporaryDirectory(ignore_cleanup_errors=True)
        to_browser, self.out = os.pipe()
        self.back, from_browser = os.pipe()
        # The protocol wants descriptors 3 and 4.
        moved = f"exec 3<&{to_browser} 4>&{from_browser}; exec \"$@\""
        words = [
            program,
            "--headless",
            "--remote-debugging-pipe",
            "--no-first-run",
            "--disable-gpu",
            "--disable-dev-shm-usage",
            "--disable-background-networking",
            f"--user-data-dir={self.profile.name}",
        ]
        # Its sandbox refuses to work for root; the page is our own.
        if os.geteuid() == 0:
            words.append("--no-sandbox")
        self.process = subprocess.Popen(
            ["bash", "-c", moved, "bash", *words],
            pass_fds=(to_browser, from_browser),
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        os.close(to_browser)
        os.close(from_browser)
        self.bytes = b""
        self.number = 0
        self.session = None
        self.events = []
        tab = self.ask("Target.createTarget", url="about:blank")["targetId"]
        self.session = self.ask("Target.attachToTarget", targetId=tab, flatten=True)["sessionId"]
        for domain in ("Page", "Runtime", "Log", "Network", "Accessibility"):
            self.ask(f"{domain}.enable")
        self.events.clear()

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.process.kill()
        self.process.wait()
        os.close(self.out)
        os.close(self.back)
        self.profile.cleanup()

    def message(self):
        while b"\0" not in self.bytes:
            more = os.read(self.back, 1 << 16)
            if not more:
                raise RuntimeError("Chromium ended before it answered")
            self.bytes += more
        line, self.bytes = self.bytes.split(b"\0", 1)
        return json.loads(line)

    def ask(self, method, **params):
        self.number += 1
        request = {"id": self.number, "method": method, "params": params}
        if self.session:
            request["sessionId"] = self.session
        text = json.dumps(request).encode() + b"\0"
        while text:
            text = text[os.write(self.out, text) :]
        while True:
            answer = self.message()
            if answer.get("id") == self.number:
                if "error" in answer:
                    raise RuntimeError(f"{method}: {answer['error']['message']}")
                return answer["result"]
            self.events.append(answer)

    def open(self, url):
        self.events.clear()
        self.ask("Page.navigate", url=url)
        while not any(event.get("method") == "Page.loadEventFired" for event in self.events):
            self.events.append(self.message())

    def value(self, expression):
        return self.ask("Runtime.evaluate", expression=expression, returnByValue=True)["result"][
            "value"
        ]

    def width(self, pixels):
        self.ask(
            "Emulation.setDeviceMetricsOverride",
            width=pixels,
            height=900,
            deviceScaleFactor=1,
            mobile=False,
        )

    def pdf(self):
        # Letter paper, in inches.
        return base64.b64decode(self.ask("Page.printToPDF", paperWidth=8.5, paperHeight=11)["data"])

    def picture(self):
        shot = self.ask("Page.captureScreenshot", captureBeyondViewport=True, format="png")
        return base64.b64decode(shot["data"])
