# SPDX-License-Identifier: Apache-2.0
"""A headless Chromium, driven over its debugging pipe with nothing but the standard library."""
import base64
import fcntl
import json
import os
import select
import shutil
import subprocess
import tempfile
import time

NAMES = ("chromium", "chromium-browser", "google-chrome")


def program():
    return next((path for path in map(shutil.which, NAMES) if path), None)


class Browser:
    """Commands go out on descriptor 3, answers and events come in on 4, each ended by a NUL."""

    def __init__(self):
        self.profile = tempfile.TemporaryDirectory()
        out, self.writer = os.pipe()
        self.reader, back = os.pipe()
        theirs = [fcntl.fcntl(fd, fcntl.F_DUPFD, 10) for fd in (out, back)]
        flags = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage",
                 "--no-first-run", "--remote-debugging-pipe", f"--user-data-dir={self.profile.name}"]
        command = f'exec "$@" 3<&{theirs[0]} 4>&{theirs[1]}'
        self.process = subprocess.Popen(["bash", "-c", command, "browser", program(), *flags],
                                        pass_fds=theirs, stdout=subprocess.DEVNULL,
                                        stderr=subprocess.DEVNULL)
        for fd in (out, back, *theirs):
            os.close(fd)
        self.buffer, self.serial, self.events, self.session = b"", 0, [], None
        target = self.call("Target.createTarget", url="about:blank")["targetId"]
        self.session = self.call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for domain in ("Page", "Network", "Runtime", "Log"):
            self.call(f"{domain}.enable")

    def close(self):
        try:
            self.session = None
            self.call("Browser.close")
            self.process.wait(20)
        except (OSError, RuntimeError, subprocess.TimeoutExpired):
            self.process.kill()
            self.process.wait()
        os.close(self.writer)
        os.close(self.reader)
        self.profile.cleanup()

    def message(self, deadline):
        while b"\0" not in self.buffer:
            left = deadline - time.monotonic()
            if left <= 0 or not select.select([self.reader], [], [], left)[0]:
                raise RuntimeError("the browser does not answer")
            read = os.read(self.reader, 1 << 20)
            if not read:
                raise RuntimeError("the browser is gone")
            self.buffer += read
        text, self.buffer = self.buffer.split(b"\0", 1)
        return json.loads(text)

    def call(self, method, seconds=60, **parameters):
        self.serial += 1
        order = {"id": self.serial, "method": method, "params": parameters}
        if self.session:
            order["sessionId"] = self.session
        os.write(self.writer, json.dumps(order).encode() + b"\0")
        deadline = time.monotonic() + seconds
        while True:
            answer = self.message(deadline)
            if answer.get("id") == self.serial:
                if "error" in answer:
                    raise RuntimeError(f"{method}: {answer['error']}")
                return answer["result"]
            self.events.append(answer)

    def open(self, url, seconds=60):
        """Loads a page; the events that came with it."""
        self.events.clear()
        self.call("Page.navigate", url=url)
        deadline = time.monotonic() + seconds
        while not any(event.get("method") == "Page.loadEventFired" for event in self.events):
            self.events.append(self.message(deadline))
        return self.events

    def value(self, expression):
        answer = self.call("Runtime.evaluate", expression=expression, returnByValue=True)
        if "exceptionDetails" in answer:
            raise RuntimeError(answer["exceptionDetails"])
        return answer["result"].get("value")

    def show(self, width, height=900, scheme="light", media="screen"):
        self.call("Emulation.setDeviceMetricsOverride", width=width, height=height,
                  deviceScaleFactor=1, mobile=False)
        self.call("Emulation.setEmulatedMedia", media=media,
                  features=[{"name": "prefers-color-scheme", "value": scheme}])

    def shot(self, path):
        picture = self.call("Page.captureScreenshot", captureBeyondViewport=True)["data"]
        with open(path, "wb") as file:
            file.write(base64.b64decode(picture))

    def pdf(self, width_in, height_in):
        data = self.call("Page.printToPDF", paperWidth=width_in, paperHeight=height_in,
                         preferCSSPageSize=True, printBackground=False)["data"]
        return base64.b64decode(data)
