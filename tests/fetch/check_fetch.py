#!/usr/bin/env python3
"""sky fetch against a server on this machine that also misbehaves. usage: check_fetch.py PROGRAM SOURCE

Every case runs the program in a folder of its own, with a cache of its own, and looks at its exit status, at what it
says, at what is left in the cache and at how often the server was asked. Nothing but the loopback is reached.
"""
import concurrent.futures
import datetime
import http.server
import json
import os
import socketserver
import ssl
import subprocess
import sys
import tempfile
import threading
import time
import urllib.parse

PROGRAM, SOURCE = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
TRIP = os.path.join(SOURCE, "profiles/trips/canyon-week.json")
asked = {}  # by path, how often
lock = threading.Lock()


def good_answer(query, gap=False, days=None):
    """An answer of the historical service: light in the middle of the day, for the dates that are asked."""
    begin = datetime.datetime.fromisoformat(query["start_date"][0])
    end = datetime.datetime.fromisoformat(query["end_date"][0])
    hours = days * 24 if days else ((end - begin).days + 1) * 24
    times = [begin + datetime.timedelta(hours=h) for h in range(hours)]
    light = [max(0, 600 - 100 * abs(t.hour - 19)) for t in times]
    return json.dumps({
        "latitude": float(query["latitude"][0]), "longitude": float(query["longitude"][0]), "elevation": 1750,
        "utc_offset_seconds": 0,
        "hourly": {"time": [t.strftime("%Y-%m-%dT%H:%M") for t in times],
                   "shortwave_radiation": [None] * hours if gap else light, "temperature_2m": [5.0] * hours},
        "hourly_units": {"shortwave_radiation": "W/m²", "temperature_2m": "°C"}}).encode()


class Handler(http.server.BaseHTTPRequestHandler):
    def log_message(self, *args):
        pass

    def body(self, status, data, headers=()):
        self.send_response(status)
        self.send_header("Content-Length", str(len(data)))
        for name, value in headers:
            self.send_header(name, value)
        self.end_headers()
        self.wfile.write(data)

    def do_GET(self):
        url = urllib.parse.urlparse(self.path)
        query = urllib.parse.parse_qs(url.query)
        with lock:
            asked[url.path] = times = asked.get(url.path, 0) + 1
        try:
            getattr(self, "do_" + url.path[1:])(query, times)
        except (BrokenPipeError, ConnectionResetError, ssl.SSLError):
            pass

    def do_good(self, query, times):
        self.body(200, good_answer(query))

    def do_arrived(self, query, times):
        self.body(200, good_answer(query))

    def do_kept(self, query, times):
        self.body(200, good_answer(query))

    def do_missing(self, query, times):
        self.body(404, b"nothing here")

    def do_busy(self, query, times):
        self.body(200, good_answer(query)) if times > 2 else self.body(429, b"slowly")

    def do_broken(self, query, times):
        self.body(500, b"oh")

    def do_refusing(self, query, times):
        self.body(400, json.dumps({"error": True, "reason": "no such day\n\x1b[31m"}).encode() + b"\n\x1b[31m\xff")

    def do_page(self, query, times):
        self.body(403, b"<html>" + b"x" * 5000)

    def do_cut(self, query, times):
        data = good_answer(query)
        self.send_response(200)
        self.send_header("Content-Length", str(len(data)))
        self.end_headers()
        self.wfile.write(data[:len(data) // 2])
        self.close_connection = True

    def do_slow(self, query, times):
        self.send_response(200)
        self.end_headers()
        for _ in range(40):
            self.wfile.write(b" ")
            self.wfile.flush()
            time.sleep(1)

    def do_wrong(self, query, times):
        self.body(200, b"<html>Please log in to this network</html>")

    def do_short(self, query, times):
        self.body(200, good_answer(query, days=2))

    def do_empty(self, query, times):
        self.body(200, good_answer(query, gap=True))

    def do_zeros(self, query, times):
        self.send_response(200)
        self.end_headers()
        for _ in range(1024):
            self.wfile.write(bytes(1 << 20))

    def do_declared(self, query, times):
        self.send_response(200)
        self.send_header("Content-Length", str(1 << 30))
        self.end_headers()
        self.wfile.write(bytes(1 << 16))

    def do_plain(self, query, times):
        self.body(302, b"", [("Location", "http://127.0.0.1:9/good")])

    def do_moved(self, query, times):
        self.body(302, b"", [("Location", "/arrived?" + urllib.parse.urlparse(self.path).query)])

    def do_circle(self, query, times):
        self.body(302, b"", [("Location", self.path)])


class Server(socketserver.ThreadingMixIn, http.server.HTTPServer):
    daemon_threads = True


def run(folder, address, certificates, more=()):
    cache = os.path.join(folder, "cache")
    environment = {"PATH": os.environ["PATH"], "XDG_CACHE_HOME": cache, "HOME": folder, "LC_ALL": "C"}
    command = [PROGRAM, "sky", "fetch", TRIP, "--address", address, "--certificates", certificates, "--patience", "20", *more]
    done = subprocess.run(command, cwd=folder, env=environment, stdin=subprocess.DEVNULL, capture_output=True, text=True)
    kept = []
    for where, _, names in os.walk(cache):
        kept += [os.path.join(where, name) for name in names]
    return done, kept


# path, exit status, what is said, files kept, times asked (None: any)
CASES = [
    ("good", 0, "Fetched.", 1, 1),
    ("moved", 0, "Fetched.", 1, 1),
    ("busy", 0, "Fetched.", 1, 3),
    ("missing", 4, "the service answered with status 404: nothing here\n", 0, 1),
    ("refusing", 4, "the service answered with status 400: {\"error\": true, \"reason\": \"no such day\\n\\u001b[31m\"} ?[31m?", 0, 1),
    ("page", 4, "the service answered with status 403\n", 0, 1),
    ("broken", 4, "the service answered with status 500", 0, 4),
    ("cut", 4, "nothing could be fetched from the historical service", 0, 4),
    ("slow", 4, "Timeout was reached", 0, 4),
    ("wrong", 3, "this is no weather file of a format that is read", 0, 1),
    ("short", 3, "the answer does not cover the trip", 0, 1),
    ("empty", 3, "global radiation is missing in every row", 0, 1),
    ("zeros", 4, "longer than 4 MB", 0, 1),
    ("declared", 4, "longer than 4 MB", 0, 1),
    ("plain", 4, "only https is used", 0, 1),
    ("circle", 4, "nothing could be fetched", 0, 4),
]


def main():
    failed = []
    with tempfile.TemporaryDirectory() as folder:
        key, certificate = os.path.join(folder, "key.pem"), os.path.join(folder, "certificate.pem")
        subprocess.run(["openssl", "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2", "-keyout", key, "-out",
                        certificate, "-subj", "/CN=localhost", "-addext", "subjectAltName=DNS:localhost"],
                       check=True, capture_output=True)
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        context.load_cert_chain(certificate, key)
        server = Server(("127.0.0.1", 0), Handler)
        server.socket = context.wrap_socket(server.socket, server_side=True)
        threading.Thread(target=server.serve_forever, daemon=True).start()
        base = "https://localhost:%d/" % server.server_address[1]

        def expect(name, done, kept, status, says, files, times=None):
            said = done.stdout + done.stderr
            wrong = []
            if done.returncode != status:
                wrong.append("ended with %d, not %d" % (done.returncode, status))
            if says not in said:
                wrong.append("does not say \"%s\"" % says)
            if len(kept) != files:
                wrong.append("keeps %d files, not %d" % (len(kept), files))
            if times is not None and asked.get("/" + name, 0) != times:
                wrong.append("asked %d times, not %d" % (asked.get("/" + name, 0), times))
            print("%-12s %s" % (name, "; ".join(wrong) if wrong else "as it should be"))
            if wrong:
                print(said)
                failed.append(name)

        def one(case):
            place = os.path.join(folder, case[0])
            os.mkdir(place)
            return case, run(place, base + case[0], certificate)

        with concurrent.futures.ThreadPoolExecutor(4) as pool:
            for case, (done, kept) in pool.map(one, sorted(CASES, key=lambda c: c[0] != "slow")):
                expect(case[0], done, kept, *case[1:])

        # What was fetched is kept, and not asked for again until somebody insists.
        place = os.path.join(folder, "kept")
        os.mkdir(place)
        expect("kept", *run(place, base + "kept", certificate), 0, "Fetched.", 1, 1)
        expect("kept", *run(place, base + "kept", certificate), 0, "Fetched before and kept.", 1, 1)
        done, kept = run(place, base + "kept", certificate, ["--force"])
        expect("kept", done, kept, 0, "Fetched.", 1, 2)
        # It rehearses.
        trip = json.loads("\n".join(line for line in open(TRIP) if not line.lstrip().startswith("//")))
        trip["sky"] = {"kind": "hourly", "file": kept[0]}
        trip["van"] = os.path.join(SOURCE, "profiles/vans/weekend-van.json")
        json.dump(trip, open(os.path.join(place, "trip.json"), "w"))
        done = subprocess.run([PROGRAM, "rehearse", os.path.join(place, "trip.json")], capture_output=True, text=True)
        expect("rehearsed", done, [], 0, "Under the hours of 38.35, -109.75", 0)
        # A stranger's certificate, an address without https, an unknown service, nobody there.
        other = os.path.join(folder, "other.pem")
        subprocess.run(["openssl", "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2", "-keyout", key + "2", "-out",
                        other, "-subj", "/CN=localhost", "-addext", "subjectAltName=DNS:localhost"],
                       check=True, capture_output=True)
        expect("stranger", *run(place, base + "stranger", other, ["--force"]), 4, "SSL", 1, 0)
        expect("misnamed", *run(place, base.replace("localhost", "127.0.0.1") + "misnamed", certificate, ["--force"]), 4,
               "SSL", 1, 0)
        expect("http", run(place, "http://localhost/", certificate)[0], [], 2, "--address begins with https://", 0)
        expect("service", run(place, base, certificate, ["--service", "best"])[0], [], 2, "--service is historical", 0)
        expect("nobody", *run(place, "https://127.0.0.1:9/", certificate, ["--force"]), 4, "nothing could be fetched", 1)
        # What is kept is looked at again.
        open(kept[0], "w").close()
        expect("spoilt", *run(place, base + "kept", certificate), 3, "this is no weather file", 1)
    print("%d of %d as they should be" % (len(CASES) + 10 - len(failed), len(CASES) + 10))
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
