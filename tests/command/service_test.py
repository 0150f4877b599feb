#!/usr/bin/env python3
"""`omniway serve` as its clients meet it, friendly ones and others.

    service_test.py OMNIWAY SHARE_FOLDER [unittest arguments]

What is asked over HTTP is held to what the command prints, byte for byte; every example of api/openapi.yaml is replayed; and malformed
requests are drawn from that file: 2,000, or as many as OMNIWAY_FUZZ_REQUESTS says. Statuses and fields of HTTP are those of RFC 9110 and 9112,
problems those of RFC 9457, events those of the HTML Living Standard, 9.2.
"""
import base64
import concurrent.futures
import hashlib
import http.client
import json
import os
import pathlib
import random
import re
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
import unittest

import yaml

OMNIWAY = pathlib.Path(sys.argv.pop(1)).resolve()
SHARE = pathlib.Path(sys.argv.pop(1)).resolve()
sys.argv = [sys.argv[0], OMNIWAY, SHARE, *sys.argv[1:]]
sys.path.insert(0, str(pathlib.Path(__file__).parent))
from command_test import check_schema, schema_of  # noqa: E402  (takes the two arguments)

ROOT = pathlib.Path(__file__).resolve().parents[2]
ENVIRONMENT = {**{key: value for key, value in os.environ.items() if key != "XDG_DATA_HOME"},
               "OMNIWAY_ATLAS": str(os.environ.get("OMNIWAY_DEMO_ATLAS", SHARE / "demo.atlas"))}
OPENAPI = yaml.safe_load((ROOT / "api/openapi.yaml").read_text(encoding="utf-8"))
CODES = set(re.findall(r"^\| `([a-z_.]+)`", (ROOT / "docs/errors.md").read_text(encoding="utf-8"), re.MULTILINE))
DAY = "2026-11-25"
FLIGHT = {"from": "XDOV", "to": "XMRA", "wind": "270/20", "date": DAY}
MIB = 1 << 20


class Server:
    def __init__(self, *words):
        self.process = subprocess.Popen([OMNIWAY, "serve", "--port", "0", *words], stdout=subprocess.PIPE,
                                        stderr=subprocess.PIPE, text=True, env=ENVIRONMENT)
        line = self.process.stdout.readline()
        found = re.match(r"omniway: listening at (http://(\[?[^/\]]+\]?):(\d+)/(\S*))\n$", line)
        if not found:
            raise AssertionError(f"{line!r} {self.process.stderr.read()}")
        self.url, self.address, self.port, self.rest = found[1], found[2], int(found[3]), found[4]

    def stop(self, number=signal.SIGTERM, timeout=60):
        self.process.send_signal(number)
        return self.process.wait(timeout)

    def __enter__(self):
        return self

    def __exit__(self, *_):
        if self.process.poll() is None:
            self.process.kill()
            self.process.wait()
        self.process.stdout.close()
        self.process.stderr.close()

    def connect(self, timeout=60):
        return socket.create_connection((self.address, self.port), timeout)

    def ask(self, method, path, body=None, fields=None, timeout=300):
        """Status, fields in lower case, body."""
        connection = http.client.HTTPConnection(self.address, self.port, timeout=timeout)
        try:
            data = json.dumps(body).encode() if isinstance(body, dict) else body
            sent = {**({"Content-Type": "application/json"} if data is not None else {}), **(fields or {})}
            connection.request(method, path, data, sent)
            answer = connection.getresponse()
            return answer.status, {name.lower(): value for name, value in answer.getheaders()}, answer.read()
        finally:
            connection.close()

    def raw(self, data, timeout=60):
        """All that comes back until the service closes."""
        with self.connect(timeout) as wire:
            wire.sendall(data)
            wire.shutdown(socket.SHUT_WR)
            pieces = []
            try:
                while piece := wire.recv(65536):
                    pieces.append(piece)
            except ConnectionResetError:
                pass
            return b"".join(pieces)


def events(body):
    """[(name, data)]: the lines of `data` of one event are joined by newlines."""
    told = []
    for block in body.decode().split("\n\n"):
        lines = block.split("\n")
        data = [line.removeprefix("data: ") for line in lines if line.startswith("data: ") or line == "data:"]
        if lines[0].startswith("event: "):
            told.append((lines[0].removeprefix("event: "), "\n".join(data)))
    return told


def command(*words, files=None):
    """What the command prints; files lie where it runs."""
    with tempfile.TemporaryDirectory() as folder:
        for name, text in (files or {}).items():
            (pathlib.Path(folder) / name).write_text(text, encoding="utf-8")
        done = subprocess.run([OMNIWAY, *map(str, words)], capture_output=True, cwd=folder, env=ENVIRONMENT, timeout=300,
                              check=False)
        return done.stdout


def documents_of(page):
    """The data in a kept page, by id."""
    return {name: json.loads(text) for name, text in
            re.findall(r'<script type="application/json" id="([a-z-]+)">(.*?)</script>', page, re.DOTALL)}


def card_of(**asked):
    return json.loads(command("plan", asked["from"], asked["to"], "--date", DAY, "--wind", asked.get("wind", "0/0"),
                              "--card", "-"))


class WithServer(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.server = Server()
        cls.addClassCleanup(cls.server.__exit__)

    def problem(self, answer, status, *codes):
        got, fields, body = answer
        self.assertEqual(got, status, body[:500])
        self.assertEqual(fields["content-type"], "application/problem+json")
        document = json.loads(body)
        self.assertEqual(check_schema(document, OPENAPI["components"]["schemas"]["Problem"]), [])
        self.assertEqual(document["status"], status)
        for code in codes:
            self.assertIn(code, [error["code"] for error in document["errors"]], body)
        return document

    def post(self, path, body, **more):
        return self.server.ask("POST", path, body, **more)


def rehearsing(server, flights):
    """A rehearsal that is flown: its connection, and what it has told so far."""
    body = json.dumps({**FLIGHT, "flights": flights}).encode()
    wire = server.connect()
    wire.sendall(f"POST /v1/rehearse HTTP/1.1\r\nHost: 127.0.0.1:{server.port}\r\nContent-Type: application/json\r\n"
                 f"Content-Length: {len(body)}\r\n\r\n".encode() + body)
    told = b""
    while b"event: progress" not in told:
        piece = wire.recv(65536)
        if not piece:
            raise AssertionError(told)
        told += piece
    return wire, told


class TheSameAsTheCommand(WithServer):
    def holds(self, path, body, *words, files=None):
        status, _, answer = self.post(path, body)
        self.assertEqual(status, 200, answer[:800])
        if path == "/v1/rehearse":
            name, answer = events(answer)[-1]
            self.assertEqual(name, "answer")
            answer = answer.encode()
        self.assertEqual(answer, command(*words, files=files))
        return answer

    def test_a_plan(self):
        self.holds("/v1/plan", {**FLIGHT, "without": ["XUM"], "choices": 2}, "plan", "XDOV", "XMRA", "--wind", "270/20", "--date",
                   DAY, "--without", "XUM", "--choices", 2, "--json")

    def test_a_plan_by_the_texts_of_files(self):
        aircraft = (SHARE / "aircraft/twin.toml").read_text(encoding="utf-8")
        self.holds("/v1/plan", {**FLIGHT, "aircraft": aircraft}, "plan", "XDOV", "XMRA", "--wind", "270/20", "--date", DAY,
                   "--aircraft", "./aircraft.toml", "--json", files={"aircraft.toml": aircraft})

    def test_a_card_of_an_aircraft_of_ones_own_is_viewed_with_the_text_of_its_file(self):
        shipped = (SHARE / "aircraft/twin.toml").read_text(encoding="utf-8")
        own = re.sub(r"(?m)^name = .*$", 'name = "Own of the test"', shipped)
        self.assertNotEqual(own, shipped)
        card = json.loads(self.post("/v1/card", {**FLIGHT, "aircraft": own})[2])
        self.assertEqual(card["request"]["aircraft"], "Own of the test")
        of_shipped = json.loads(self.post("/v1/card", {**FLIGHT, "aircraft": "twin"})[2])
        for path in ("/v1/ribbon", "/v1/panel"):
            with self.subTest(path=path):
                self.problem(self.post(path, {"card": card}), 422, "card.other_aircraft")
                status, _, body = self.post(path, {"card": card, "aircraft": own})
                self.assertEqual(status, 200, body[:300])
                like = self.post(path, {"card": of_shipped})[2].decode()
                self.assertEqual(body.decode().replace("Own of the test", of_shipped["request"]["aircraft"]), like)
                # Another aircraft under the same name is another flight: what was made before is not taken for it.
                slower = re.sub(r"(?m)^approach_kias = .*$", "approach_kias = 80", own)
                self.assertNotEqual(slower, own)
                self.assertNotEqual(self.post(path, {"card": card, "aircraft": slower})[2], body)

    def test_who_is_lost_in_an_aircraft_of_ones_own(self):
        words = ["--dme", "XTE=16", "--dme", "XHU=20.5", "--altitude", "9000"]
        text = (SHARE / "aircraft/twin.toml").read_text(encoding="utf-8")
        named = self.post("/v1/find", {"words": [*words, "--aircraft", "twin"], "date": DAY})
        self.assertEqual(named[0], 200)
        self.assertEqual(self.post("/v1/find", {"words": words, "date": DAY, "aircraft": text})[2], named[2])
        self.assertEqual(self.post("/v1/find", {"words": words, "date": DAY, "aircraft": "twin"})[2], named[2])
        self.assertNotEqual(self.post("/v1/find", {"words": words, "date": DAY})[2], named[2])
        self.problem(self.post("/v1/find", {"words": [*words, "--aircraft", "jet"], "date": DAY, "aircraft": text}), 422,
                     "app.find_twice")

    def test_a_flight_that_cannot_be_flown_is_an_answer(self):
        body = self.holds("/v1/plan", {**FLIGHT, "without": ["XDV", "XCO"], "reception": "volume"}, "plan", "XDOV", "XMRA", "--wind",
                          "270/20", "--date", DAY, "--without", "XDV", "--without", "XCO", "--reception", "volume", "--json")
        self.assertIn(json.loads(body)["verdict"], ("flyable", "flyable if", "not flyable"))

    def test_a_card_and_what_the_judge_says_of_it(self):
        text = self.holds("/v1/card", FLIGHT, "plan", "XDOV", "XMRA", "--wind", "270/20", "--date", DAY, "--card", "-").decode()
        self.holds("/v1/judge", {"card": json.loads(text)}, "judge", "card", "--json", files={"card": text})

    def test_a_card_without_a_station_is_judged_and_drawn_without_it(self):
        gone = "XUM"
        self.assertIn(gone, self.tuned(card_of(**FLIGHT)))
        text = self.post("/v1/card", {**FLIGHT, "without": [gone]})[2].decode()
        card = json.loads(text)
        self.assertEqual(card["request"]["without"], [{"ident": gone}])
        self.assertEqual(check_schema(card, schema_of("card")), [])
        self.assertNotIn(gone, self.tuned(card))
        judged = json.loads(self.holds("/v1/judge", {"card": card}, "judge", "card", "--json", files={"card": text}))
        self.assertNotIn("card.differs", [finding["code"] for finding in judged["findings"]])
        for path in ("/v1/ribbon", "/v1/panel"):
            with self.subTest(path=path):
                status, _, body = self.post(path, {"card": card})
                self.assertEqual(status, 200, body[:300])
                self.assertNotIn(f'"{gone}"', body.decode())
        unknown = {**card, "request": {**card["request"], "without": [{"ident": "XUMM"}]}}
        problem = self.problem(self.post("/v1/judge", {"card": unknown}), 404, "app.unknown_ident")
        self.assertEqual([error["where"] for error in problem["errors"]], ["card#/request/without"])

    @staticmethod
    def tuned(card):
        steps = [*card["card"]["steps"], *card["card"]["missed"]]
        return {receiver[stands]["ident"] for step in steps for receiver in step["radios"]["receivers"] for stands in
                ("active", "standby") if receiver[stands]}

    def test_an_approach_is_judged_by_the_name_that_a_plan_prints(self):
        asked = card_of(**FLIGHT)["request"]
        self.assertTrue(asked["approach"].startswith("ILS ") and " via " in asked["approach"], asked["approach"])
        route = {"route": asked["route"], "wind": "270/20", "date": DAY}
        named = json.loads(self.holds("/v1/judge", {**route, "approach": asked["approach"]}, "judge", asked["route"], "--wind",
                                      "270/20", "--date", DAY, "--approach", asked["approach"], "--json"))
        self.assertEqual(named["card"], json.loads(self.post("/v1/judge", route)[2])["card"])

    def test_a_card_that_is_kept_as_a_page(self):
        card = card_of(**FLIGHT)
        status, fields, page = self.post("/v1/card-page", {"card": card})
        self.assertEqual((status, fields["content-type"], fields["content-disposition"]),
                         (200, "text/html; charset=utf-8", 'attachment; filename="omniway-card.html"'))
        kept = documents_of(command("plan", "XDOV", "XMRA", "--wind", "270/20", "--date", DAY, "--card-page", "-").decode())
        self.assertEqual(documents_of(page.decode()), kept)
        self.assertEqual(kept["card"], card)
        self.assertEqual(check_schema(kept["groundspeed-check"], schema_of("groundspeed_check")), [])
        self.assertEqual(json.loads(self.post("/v1/groundspeed-check", {"card": card})[2]), kept["groundspeed-check"])

    def test_a_kept_page_asks_nobody_and_lets_nothing_else_run(self):
        page = command("plan", "XDOV", "XMRA", "--wind", "270/20", "--date", DAY, "--card-page", "-").decode()
        policy = re.search(r'<meta http-equiv="Content-Security-Policy" content="([^"]*)"', page)[1]
        rules = dict(each.strip().split(" ", 1) for each in policy.split(";"))
        self.assertEqual(rules["default-src"], "'none'")
        self.assertEqual(set(rules), {"default-src", "script-src", "style-src", "base-uri", "form-action"})
        for rule, element in (("script-src", r"<script>(.*?)</script>"), ("style-src", r"<style>(.*?)</style>")):
            # CSP level 3, 6.7.2.3: the hash of what stands between the tags.
            (inline,) = re.findall(element, page, re.DOTALL)
            digest = base64.b64encode(hashlib.sha256(inline.encode()).digest()).decode()
            self.assertEqual(rules[rule], f"'sha256-{digest}'")
        self.assertEqual(re.findall(r'<(?:link|img|iframe|script)[^>]*(?:src|href)=(?!"data:)', page), [])

    def test_no_text_of_a_card_ends_the_data_of_its_page(self):
        card = card_of(**FLIGHT)
        evil = "</script><script>alert(1)</script><!--"
        card["request"]["aircraft"] = evil
        status, _, page = self.post("/v1/card-page", {"card": card})
        self.assertEqual(status, 200, page[:300])
        self.assertNotIn(evil.encode(), page)
        self.assertEqual(documents_of(page.decode())["card"]["request"]["aircraft"], evil)

    def test_a_route_by_hand_judged_and_explained(self):
        route = "XDOV DCT XDV V14 XKE DCT XHU DCT XODEL V12 XOBAN XMRA"
        self.holds("/v1/judge", {"route": route, "wind": "270/20", "date": DAY}, "judge", route, "--wind", "270/20", "--date", DAY,
                   "--json")
        self.holds("/v1/why", {"from": "XDOV", "to": "XMRA", "route": route, "date": DAY}, "why", "XDOV", "XMRA", route, "--date",
                   DAY, "--json")

    def test_the_card_of_a_route_by_hand(self):
        route = "XDOV DCT XDV V14 XKE DCT XHU DCT XODEL V12 XOBAN XMRA"
        text = self.holds("/v1/card", {"route": route, "wind": "270/20", "date": DAY, "aircraft": "twin"}, "judge", route, "--wind",
                          "270/20", "--date", DAY, "--aircraft", "twin", "--card", "-").decode()
        card = json.loads(text)
        self.assertEqual(card["request"]["route"], route)
        self.assertEqual(check_schema(card, schema_of("card")), [])
        judged = json.loads(self.holds("/v1/judge", {"card": card}, "judge", "card", "--json", files={"card": text}))
        self.assertNotIn("card.differs", [finding["code"] for finding in judged["findings"]])
        self.problem(self.post("/v1/card", {"route": route, "choices": 2}), 400, "service.unknown_field")

    def test_the_card_of_a_route_that_cannot_be_flown_can_be_drawn(self):
        route = "XDOV DCT XDV V14 XKE XMRA"
        text = self.holds("/v1/card", {"route": route, "date": DAY}, "judge", route, "--date", DAY, "--card", "-")
        card = json.loads(text)
        self.assertEqual(card["verdict"], "not flyable")
        status, _, answer = self.post("/v1/ribbon", {"card": card})
        self.assertEqual(status, 200, answer[:300])
        self.assertTrue(json.loads(answer)["track"])
        self.problem(self.post("/v1/panel", {"card": card}), 422, "app.no_flight")

    def test_what_is_heard(self):
        self.holds("/v1/hear", {"from": "XMR", "to": "XRG", "altitude_ft": 5000}, "hear", "XMR", "XRG", "--altitude", 5000, "--json")
        self.holds("/v1/hear", {"at": "40.3,-171,5000", "all": True}, "hear", "--at", "40.3,-171,5000", "--all", "--json")
        points = "lat_deg,lon_deg,altitude_ft\n40.3,-171,5000\n41,-170,9000\n"
        self.holds("/v1/hear", {"points": points}, "hear", "--points", "points", "--json", files={"points": points})

    def test_where_the_aircraft_is(self):
        words = ["--vor", "XKE=084", "--dme=XHU=21.5", "--altitude", "6000"]
        self.holds("/v1/find", {"words": words, "date": DAY}, "find", *words, "--date", DAY, "--json")
        card = json.dumps(card_of(**FLIGHT))
        self.holds("/v1/find", {"words": ["--vor", "XDV=273", "--altitude", "9000"], "card": json.loads(card)}, "find", "--vor",
                   "XDV=273", "--altitude", 9000, "--card", "card", "--json", files={"card": card})

    def test_a_rehearsal_and_the_debrief_of_one_of_its_flights(self):
        card = json.dumps(card_of(**FLIGHT))
        self.holds("/v1/rehearse", {"card": json.loads(card), "flights": 20, "seed": 7}, "rehearse", "card", "--flights", 20, "--seed",
                   7, "--json", files={"card": card})
        with tempfile.TemporaryDirectory() as folder:
            file = pathlib.Path(folder) / "flown.gpx"
            command("rehearse", "XDOV", "XMRA", "--wind", "270/20", "--date", DAY, "--example", 1, "--gpx", file)
            track = file.read_text(encoding="utf-8")
        self.holds("/v1/debrief", {"card": json.loads(card), "track": track, "longest_gap_s": 30}, "debrief", "card", "track", "--gap",
                   30, "--json", files={"card": card, "track": track})

    def test_one_flight_of_a_rehearsal(self):
        self.holds("/v1/rehearse", {**FLIGHT, "example": 3}, "rehearse", "XDOV", "XMRA", "--wind", "270/20", "--date", DAY, "--example",
                   3, "--json")

    def test_a_replay_is_the_flight_that_the_command_flies_again(self):
        # By the command's own document, second by second: outcome, time, steps, and place and needles at each moment that both have.
        card = json.dumps(card_of(**FLIGHT))
        asked = {"card": json.loads(card), "seed": 7, "example": 4, "errors": "wind_kt = 30\nvor_station_deg = 3\n"}
        status, _, body = self.post("/v1/replay", asked)
        self.assertEqual(status, 200, body[:500])
        replay = json.loads(body)
        self.assertEqual(check_schema(replay, schema_of("replay"))[:3], [])
        again = json.loads(command("rehearse", "card", "--seed", 7, "--example", 4, "--errors", "errors.toml", "--json",
                                   files={"card": card, "errors.toml": asked["errors"]}))
        for same, other in (("outcome", "outcome"), ("failed_step", "failed_step"), ("flown_s", "time_s"), ("flown_nm", "distance_nm")):
            self.assertEqual(replay[same], again[other])
        self.assertEqual([(s["number"], s["ended_s"], s["as_meant"], s["worst_aside_nm"]) for s in replay["steps"]],
                         [(s["number"], s["ended_s"], s["as_meant"], s["worst_aside_nm"]) for s in again["steps"]])
        moments = {moment["time_s"]: moment for moment in again["moments"]}
        both = [(sample, moments[sample["flown_s"]]) for sample in replay["samples"] if sample["flown_s"] in moments]
        self.assertGreater(len(both), 500)
        for sample, moment in both:
            self.assertEqual(sample["step"], moment["step"])
            self.assertEqual({name: sample[name] for name in moment["place"]}, moment["place"])
            self.assertIn(sample["aside_nm"], (None, moment["aside_nm"]))
            for receiver, on in zip(sample["receivers"], moment["panel"]["receivers"]):
                self.assertEqual(receiver["deflection_share"], None if on["flag"] else on["needle_of_full_scale_share"])
        times = [sample["flown_s"] for sample in replay["samples"]]
        along = [sample["at_s"] for sample in replay["samples"]]
        self.assertEqual((times, along), (sorted(times), sorted(along)))
        self.assertLessEqual(max(b - a for a, b in zip(times, times[1:])), 5.1)

    def test_a_replay_names_its_flight(self):
        document = self.problem(self.post("/v1/replay", FLIGHT), 400, "service.field_missing")
        self.assertEqual([error["where"] for error in document["errors"]], ["/example"])
        self.problem(self.post("/v1/replay", {**FLIGHT, "example": 0}), 422, "app.out_of_range")

    def test_what_is_recorded_of_an_ident(self):
        for ident in ("XMR", "XMRA", "V12", "XMRA/I27"):
            status, _, body = self.server.ask("GET", f"/v1/show?ident={ident.replace('/', '%2F')}")
            self.assertEqual((status, body), (200, command("show", ident, "--json")))


class WhatLiesOverTheChart(WithServer):
    """Rasters, held to what is said of the same places by other questions."""

    AREA = "west=-172&south=39.5&east=-168&north=42"

    def raster(self, what, **more):
        asked = "".join(f"&{name}={value}" for name, value in more.items())
        status, _, body = self.server.ask("GET", f"/v1/{what}?{self.AREA}{asked}")
        self.assertEqual(status, 200, body[:500])
        document = json.loads(body)
        self.assertEqual(check_schema(document, schema_of("raster")), [])
        signs = {one["sign"]: one["says"] for one in document["classes"]}
        self.assertEqual({sign for row in document["rows"] for sign in row} - signs.keys(), set())
        self.assertEqual({len(row) for row in document["rows"]}, {more.get("width", 128)})
        return document, signs

    def cells(self, document, number):
        """So many cells drawn at random, with their centres."""
        drawn = random.Random(1)
        for _ in range(number):
            row, column = drawn.randrange(len(document["rows"])), drawn.randrange(len(document["rows"][0]))
            yield (document["rows"][row][column], document["north_deg"] - (row + 0.5) * document["cell_deg"],
                   document["west_deg"] + (column + 0.5) * document["cell_deg"])

    def test_as_many_are_heard_in_a_cell_as_at_its_middle(self):
        seen = set()
        for altitude in (3000, 9000):
            document, signs = self.raster("coverage", altitude_ft=altitude, width=64)
            cells = list(self.cells(document, 60))
            points = "lat_deg,lon_deg,altitude_ft\n" + "".join(f"{lat:.6f},{lon:.6f},{altitude}\n" for _, lat, lon in cells)
            heard = json.loads(self.post("/v1/hear", {"points": points})[2])["points"]
            for (sign, *place), point in zip(cells, heard, strict=True):
                number = len({json.dumps(part["station"]) for part in point["parts"] if part["part"] != "glideslope"})
                seen.add(sign)
                if sign == "?":
                    continue
                self.assertEqual(signs[sign], "none heard" if number == 0 else f"{number} heard" if number < 5 else "5 or more heard", place)
        self.assertGreater(len(seen), 4)

    def test_accuracy_is_told_only_where_two_are_heard_and_better_higher_up(self):
        low, signs = self.raster("fix-accuracy", altitude_ft=4000, width=64)
        high, _ = self.raster("fix-accuracy", altitude_ft=12000, width=64)
        heard, _ = self.raster("coverage", altitude_ft=4000, width=64)
        self.assertEqual(signs["-"], "no two lines cross well")
        for fix_row, heard_row in zip(low["rows"], heard["rows"], strict=True):
            for fix, number in zip(fix_row, heard_row, strict=True):
                # A VOR/DME alone gives two lines that cross at right angles; nothing gives none.
                self.assertFalse(number == "0" and fix not in "-?", (fix, number))
        told = lambda document: sum(sign not in "-?" for row in document["rows"] for sign in row)
        self.assertGreater(told(high), told(low))

    def test_ground_that_is_not_known_is_no_sea(self):
        document, signs = self.raster("terrain", width=200)
        self.assertEqual((signs["?"], signs["~"]), ("ground not known", "sea"))
        signs = {sign for row in document["rows"] for sign in row}
        self.assertGreater(len(signs), 10)
        beyond = json.loads(self.server.ask("GET", "/v1/terrain?west=20&south=10&east=22&north=11")[2])
        self.assertEqual({sign for row in beyond["rows"] for sign in row}, {"?"})

    def test_what_cannot_be_is_refused(self):
        for asked, code in (("west=1&south=2&east=3", "service.query"), ("west=1&south=2&east=3&north=1", "app.out_of_range"),
                            ("west=1&south=2&east=3&north=4&width=513", "app.out_of_range"),
                            ("west=1&south=2&east=3&north=4&width=20.5", "app.out_of_range"),
                            ("west=1&south=2&east=1.1&north=40&width=300", "app.map_too_large"),
                            ("west=1&south=2&east=3&north=4&altitude_ft=60001", "app.out_of_range")):
            answer = self.server.ask("GET", f"/v1/coverage?{asked}" + ("" if "altitude" in asked else "&altitude_ft=5000"))
            self.problem(answer, 400 if code == "service.query" else 422, code)
        self.problem(self.server.ask("GET", "/v1/terrain?west=1&south=2&east=3&north=4&altitude_ft=1"), 400, "service.query")

    def test_a_screen_at_one_altitude_comes_within_a_second(self):
        self.raster("coverage", altitude_ft=6000, width=128)  # its horizons are made once
        began = time.monotonic()
        self.raster("coverage", altitude_ft=6500, width=128)
        print(f"\ncoverage, 128 cells across: {(time.monotonic() - began) * 1e3:.0f} ms", file=sys.stderr)
        for width in (128, 512):
            began = time.monotonic()
            self.raster("terrain", width=width)
            print(f"terrain, {width} cells across: {(time.monotonic() - began) * 1e3:.0f} ms", file=sys.stderr)


def inside(corners, place):
    """Whether a place lies in a polygon of places; by crossings of a ray (the even-odd rule), on a plane of degrees."""
    x, y = place["longitude_deg"], place["latitude_deg"]
    odd = False
    for one, other in zip(corners, corners[1:] + corners[:1]):
        if (one["latitude_deg"] > y) != (other["latitude_deg"] > y):
            share = (y - one["latitude_deg"]) / (other["latitude_deg"] - one["latitude_deg"])
            odd ^= x < one["longitude_deg"] + share * (other["longitude_deg"] - one["longitude_deg"])
    return odd


class WhatIsProtected(WithServer):
    def test_who_flies_by_needle_without_error_stays_in_the_area_of_a_step_once_on_it(self):
        ribbon = json.loads(self.post("/v1/ribbon", {"card": card_of(**FLIGHT)})[2])
        self.assertEqual(check_schema(ribbon, schema_of("ribbon")), [])
        areas = {area["step"]: area["corners"] for area in ribbon["areas"]}
        lined = {step["number"] for step in ribbon["steps"] if not step["missed"]} & areas.keys()
        self.assertGreater(len(lined), len(ribbon["steps"]) // 2)
        samples = out = 0
        for step in lined:
            within = [inside(areas[step], point) for point in ribbon["track"] if point["step"] == step]
            # The turn on to a step begins before the line of the step does; once on it, the needle holds it there.
            within = within[within.index(True):] if True in within else []
            samples += len(within)
            out += within.count(False)
        self.assertGreater(samples, 500)
        self.assertLess(out, 0.005 * samples)


def operations():
    for path, methods in OPENAPI["paths"].items():
        for method, operation in methods.items():
            yield path, method.upper(), operation


def fields_of(schema):
    """Every field of a body with its schema, through $ref and allOf."""
    if "$ref" in schema:
        return fields_of(OPENAPI["components"]["schemas"][schema["$ref"].rsplit("/", 1)[1]])
    found = dict(schema.get("properties", {}))
    for part in schema.get("allOf", []):
        found.update(fields_of(part))
    return found


def body_of(operation):
    return operation.get("requestBody", {}).get("content", {}).get("application/json")


class TheDescription(WithServer):
    def test_every_example_is_answered_as_it_is_described(self):
        for path, method, operation in operations():
            with self.subTest(path=path):
                body = body_of(operation)
                asked = "&".join(f"{each['name']}={each['example']}" for each in operation.get("parameters", []))
                status, fields, answer = self.server.ask(method, f"{path}?{asked}" if asked else path, body and body["example"])
                expected = body.get("x-example-status", 200) if body else 200
                self.assertEqual(status, expected, answer[:500])
                if expected != 200:
                    continue
                (form, described), = operation["responses"]["200"]["content"].items()
                self.assertEqual(fields["content-type"], form)
                text = events(answer)[-1][1] if form == "text/event-stream" else answer
                schema = json.loads((ROOT / "api" / described["schema"]["$ref"]).read_text())
                self.assertEqual(check_schema(json.loads(text), schema), [])

    def test_it_has_every_route_of_the_program_and_no_other(self):
        routes = re.findall(r'\{"(GET|POST)", "(/v1/[a-z-]+)"', (ROOT / "src/service/detail/routes.cpp").read_text())
        self.assertEqual(sorted((path, method) for method, path in routes), sorted((path, method) for path, method, _ in operations()))
        for method, path in routes:
            status, fields, _ = self.server.ask("PUT", path, b"{}")
            self.assertEqual((status, fields["allow"]), (405, "GET, HEAD" if method == "GET" else method))

    # Words of a command that have no field: what is printed where, what is written, and what is asked of another endpoint.
    OF_PRINTING = {"--help", "--json", "--atlas"}
    LEFT_OUT = {"plan": {"--card", "--card-page"}, "judge": {"--why", "--card"}, "why": {"--all"},
                "hear": {"--svg", "--map", "--area", "--cell", "--out", "--kind", "--criteria"}, "find": {"--batch"},
                "rehearse": {"--gpx"}, "debrief": set(),
                "show": {"--telling", "--altitude", "--aircraft", "--track", "--criteria", "--use", "--reception", "--date",
                         "--procedures", "--wind", "--via", "--reversal", "--svg"}}
    # Commands of files and folders, which are of this machine; and answers that a plan, a card or a find holds too.
    NO_ENDPOINT = {"import", "atlas", "aircraft", "serve", "navlog", "losses", "divert"}

    # What only the page asks, to draw.
    NO_COMMAND = {"/v1/about", "/v1/next", "/v1/search", "/v1/chart", "/v1/terrain", "/v1/coverage", "/v1/fix-accuracy", "/v1/ribbon",
                  "/v1/panel", "/v1/replay", "/v1/groundspeed-check", "/v1/card-page"}

    def test_every_command_has_an_endpoint_and_every_word_a_field(self):
        commands = set(re.findall(r"^  ([a-z]+) ", command("--help").decode().split("Subcommands:")[1], re.MULTILINE))
        twins = [(path, operation) for path, _, operation in operations() if "x-command" in operation]
        self.assertEqual({path for path, _, operation in operations() if "x-no-command" in operation}, self.NO_COMMAND)
        self.assertEqual(len(twins) + len(self.NO_COMMAND), len(list(operations())))
        asked = {operation["x-command"].split()[0] for _, operation in twins}
        self.assertEqual(commands, asked | self.NO_ENDPOINT)
        self.assertEqual(asked & self.NO_ENDPOINT, set())
        for path, operation in twins:
            with self.subTest(path=path):
                name = operation["x-command"].split()[0]
                words = set(re.findall(r"^  (?:-\w,)?(--[a-z-]+)", command(name, "--help").decode(), re.MULTILINE))
                body = body_of(operation)
                fields = fields_of(body["schema"]) if body else {each["name"]: each for each in operation["parameters"]}
                options = {word for field in fields.values() for word in field["x-option"].split() if word.startswith("--")}
                self.assertEqual(words - self.OF_PRINTING, options | self.LEFT_OUT[name])
                self.assertEqual(options & self.LEFT_OUT[name], set())

    def test_every_field_of_the_description_is_known_to_the_program_and_no_other(self):
        for path, method, operation in operations():
            if not body_of(operation):
                continue
            with self.subTest(path=path):
                described = set(fields_of(body_of(operation)["schema"]))
                known = set()
                for extra in ({}, {"card": {}}, {"at": "0,0,0"}):
                    _, _, body = self.server.ask(method, path, {"zzzzzzzzzzzz": 1, **extra})
                    said = [error["message"] for error in json.loads(body)["errors"] if error["code"] == "service.unknown_field"]
                    for message in said:
                        known |= set(re.search(r"allowed are (.*)$", message)[1].split(", ")) if "zzzz" in message else set()
                self.assertEqual(known, described)


class WhatMayStandNext(WithServer):
    def next(self, **asked):
        status, _, body = self.server.ask("POST", "/v1/next", asked)
        self.assertEqual(status, 200, body[:300])
        document = json.loads(body)
        self.assertEqual(check_schema(document, json.loads((ROOT / "api/next.schema.json").read_text())), [])
        return document

    def test_airways_lead_on_as_they_are_published(self):
        found = self.next(**{"from": "XDOV", "to": "XMRA", "at": "XKE"})
        self.assertEqual(found["departures"], [])
        for airway in found["airways"]:
            shown = json.loads(command("show", airway["designator"], "--json"))
            segments = [segment for part in shown["found"] for segment in part["airway"]["segments"]]
            lengths = {frozenset((each["from"], each["to"])): each["distance_nm"] for each in segments}
            so_far, before = 0.0, "XKE"
            for point in airway["points"]:
                so_far += lengths[frozenset((before, point["ident"]))]
                self.assertAlmostEqual(point["distance_nm"], so_far, delta=0.01)
                before = point["ident"]
        self.assertIn("V14", [airway["designator"] for airway in found["airways"]])

    def test_each_first_point_of_an_approach_is_one_where_the_judge_lets_it_begin(self):
        found = self.next(**{"from": "XDOV", "to": "XMRA", "at": "XKE", "aircraft": "twin"})
        can = {(each["ident"], each["fix"]) for each in found["approaches"] if not each["why_not"]}
        judged = json.loads(command("judge", "XDOV DCT XDV V14 XKE XMRA", "--date", DAY, "--aircraft", "twin", "--json"))
        said, = [finding["text"] for finding in judged["findings"] if finding["code"] == "approach.not_begun"]
        told = set(re.findall(r"(\w+) at (\w+)", said.split("where the route ends:")[1]))
        self.assertTrue(told)
        self.assertLessEqual(told, can)
        self.assertTrue(all("equipment" in each["why_not"] for each in found["approaches"] if each["name"].startswith("RNAV")))

    def test_a_departure_leads_to_its_end(self):
        found = self.next(**{"from": "XDOV", "to": "XMRA"})
        self.assertEqual(found["airways"], [])
        ends = {(each["ident"], each["fix"]) for each in found["departures"]}
        self.assertIn(("XULVE1", "XULVE"), ends)
        self.assertNotIn("XWOTE1", [ident for ident, _ in ends])

    def test_what_is_not_there_is_refused_with_near_matches(self):
        ends = {"from": "XDOV", "to": "XMRA"}
        self.problem(self.server.ask("POST", "/v1/next", {**ends, "from": "XDVO"}), 404, "app.unknown_ident")
        self.problem(self.server.ask("POST", "/v1/next", {**ends, "aircraft": "/etc/passwd"}), 422, "app.unknown_aircraft")
        self.problem(self.server.ask("POST", "/v1/next", {"to": "XMRA"}), 400, "service.field_missing")

    def test_an_aircraft_of_ones_own_is_asked_by_the_text_of_its_file(self):
        ends = {"from": "XDOV", "to": "XMRA", "at": "XKE"}
        shipped = self.next(**ends, aircraft="trainer")
        self.assertNotEqual(shipped["approaches"], self.next(**ends, aircraft="twin")["approaches"])
        own = self.next(**ends, aircraft=(SHARE / "aircraft/trainer.toml").read_text(encoding="utf-8"))
        self.assertEqual(own["approaches"], shipped["approaches"])


class WhatIsLookedFor(WithServer):
    def search(self, words):
        return json.loads(self.server.ask("GET", f"/v1/search?words={words}")[2])

    def test_what_is_only_near_is_told_so(self):
        self.assertFalse(self.search("XKE")["only_near"])
        near = self.search("XKR")
        self.assertTrue(near["only_near"])
        self.assertIn("XKE", [each["ident"] for each in near["found"]])
        nothing = self.search("QQQQQQQQ")
        self.assertEqual((nothing["only_near"], nothing["found"]), (True, []))

    def test_figures_stand_in_words_as_the_command_prints_them(self):
        for ident in ("XKE", "XODEL", "V14", "XMRA"):
            found = json.loads(self.server.ask("GET", f"/v1/show?ident={ident}")[2])["found"]
            printed = [re.sub(r" +", " ", line).strip() for line in command("show", ident).decode().splitlines()]
            for each in found:
                self.assertIn(each["title"], printed)
                self.assertTrue(each["figures"])
                for figure in each["figures"]:
                    self.assertIn(re.sub(r" +", " ", f"{figure['label']} {figure['value']}"), printed)


class WhoMayAsk(WithServer):
    def test_another_host_is_refused_whatever_leads_here(self):
        port = self.server.port
        for host in ("example.org", f"example.org:{port}", "127.0.0.1", "localhost", "", f"127.0.0.1:{port + 1}",
                     f"127.0.0.1:{port}.example.org", f"127.0.0.1:{port}@example.org"):
            with self.subTest(host=host):
                self.problem(self.server.ask("GET", "/", fields={"Host": host}), 403, "service.host")
        for host in (f"127.0.0.1:{port}", f"localhost:{port}", f"LOCALHOST:{port}", f"[::1]:{port}"):
            self.assertEqual(self.server.ask("GET", "/", fields={"Host": host})[0], 200)
        for lines in (b"", f"Host: 127.0.0.1:{port}\r\nHost: 127.0.0.1:{port}\r\n".encode()):
            self.assertIn(b"service.host", self.server.raw(b"GET / HTTP/1.1\r\n" + lines + b"\r\n"))

    def test_another_page_is_refused(self):
        for origin in ("http://example.org", "null", f"https://127.0.0.1:{self.server.port}", "http://127.0.0.1",
                       f"http://127.0.0.1:{self.server.port}.example.org"):
            with self.subTest(origin=origin):
                answer = self.post("/v1/plan", FLIGHT, fields={"Origin": origin})
                self.problem(answer, 403, "service.origin")
                self.assertNotIn("access-control-allow-origin", answer[1])
        own = {"Origin": f"http://localhost:{self.server.port}"}
        answer = self.server.ask("GET", "/v1/show?ident=XMR", fields=own)
        self.assertEqual(answer[0], 200)
        self.assertEqual([name for name in answer[1] if name.startswith("access-control")], [])
        self.problem(self.server.ask("OPTIONS", "/v1/plan", fields=own), 405, "service.method")

    def test_a_form_of_another_page_is_no_question(self):
        for form in ("text/plain", "application/x-www-form-urlencoded", "application/jsonp"):
            self.problem(self.post("/v1/plan", FLIGHT, fields={"Content-Type": form}), 415, "service.content_type")
        self.assertEqual(self.post("/v1/hear", {"at": "40.3,-171,5000"}, fields={"Content-Type": "application/json; charset=utf-8"})[0],
                         200)

    def test_every_answer_says_what_a_browser_may_do_with_it(self):
        for answer in (self.server.ask("GET", "/"), self.server.ask("GET", "/nowhere"), self.server.ask("GET", "/v1/show?ident=XMR")):
            policy = dict(each.strip().split(" ", 1) for each in answer[1]["content-security-policy"].split(";"))
            self.assertEqual((policy["default-src"], policy["script-src"], policy["frame-ancestors"]), ("'none'", "'self'", "'none'"))
            self.assertNotIn("unsafe", answer[1]["content-security-policy"])
            self.assertEqual((answer[1]["x-content-type-options"], answer[1]["referrer-policy"]), ("nosniff", "no-referrer"))
            self.assertRegex(answer[1]["date"], r"^[A-Z][a-z]{2}, \d\d [A-Z][a-z]{2} \d{4} \d\d:\d\d:\d\d GMT$")

    def test_the_network_is_asked_for_and_then_asks_for_a_token(self):
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
            try:
                probe.connect(("192.0.2.1", 9))  # sends nothing (RFC 5737: an address of nobody)
            except OSError:
                self.skipTest("this machine has no address but its loopback one")
            address = probe.getsockname()[0]
        for words, code in ((("--address", address), "serve.network_not_allowed"), (("--address", "0.0.0.0"), "serve.address"),
                            (("--address", "elsewhere"), "serve.address"), (("--port", "65536"), "app.out_of_range")):
            done = subprocess.run([OMNIWAY, "serve", *words], capture_output=True, text=True, env=ENVIRONMENT, timeout=20,
                                  check=False)
            self.assertEqual((done.returncode, done.stdout), (2, ""))
            self.assertIn(code, done.stderr)
        with Server("--address", address, "--allow-network") as server:
            token = re.fullmatch(r"\?token=([0-9a-f]{32})", server.rest)[1]
            # The QR code below (what it says: src/writers/qr_code_test.cpp).
            self.assertRegex(server.process.stdout.readline(), "^\x1b\\[30;107m +\x1b\\[0m$")
            for path in ("/", "/v1/show?ident=XMR", "/?token=" + "0" * 32, "/v1/show?token=" + token):
                answer = server.ask("GET", path)
                self.problem(answer, 401, "service.token")
                self.assertIn("www-authenticate", answer[1])
            status, fields, _ = server.ask("GET", f"/?token={token}")
            self.assertEqual((status, fields["location"]), (303, "/"))
            cookie, *rules = fields["set-cookie"].split("; ")
            self.assertEqual(sorted(rules), ["HttpOnly", "Path=/", "SameSite=Strict"])
            self.assertNotIn(token, cookie)
            self.problem(server.ask("GET", f"/?token={token}"), 401, "service.token")
            self.assertEqual(server.ask("GET", "/", fields={"Cookie": cookie})[0], 200)
            self.assertEqual(server.ask("GET", "/v1/show?ident=XMR", fields={"Cookie": f"other=1; {cookie}"})[0], 200)
            self.problem(server.ask("GET", "/", fields={"Cookie": cookie[:-1]}), 401, "service.token")
            self.problem(server.ask("GET", "/", fields={"Cookie": cookie, "Host": "localhost"}), 403, "service.host")


class NoFileFromOutside(WithServer):
    def test_a_path_in_a_target_is_nowhere(self):
        for path in ("/../../etc/passwd", "/..%2f..%2fetc/passwd", "/assets/../../../etc/passwd", "//etc/passwd", "/assets/%00", "/.git/config"):
            answer = self.server.ask("GET", path)
            self.problem(answer, 404, "service.path")
            self.assertNotIn(b"root:", answer[2])

    def test_a_path_in_a_field_is_refused_though_the_command_would_read_it(self):
        aircraft = str(SHARE / "aircraft/twin.toml")
        self.assertIn(b'"plan"', command("plan", "XDOV", "XMRA", "--aircraft", aircraft, "--json"))
        for name in (aircraft, "/etc/passwd", "../aircraft/twin", "./twin.toml", "aircraft.toml"):
            self.problem(self.post("/v1/plan", {**FLIGHT, "aircraft": name}), 422, "app.unknown_aircraft")
            self.problem(self.post("/v1/find", {"words": ["--vor", "XKE=084", "--altitude", "6000", "--aircraft", name]}), 422,
                         "app.unknown_aircraft")
        with tempfile.NamedTemporaryFile("w", suffix=".card") as file:
            file.write(json.dumps(card_of(**FLIGHT)))
            file.flush()
            self.assertIn(b'"judge"', command("judge", file.name, "--json"))
            self.problem(self.post("/v1/judge", {"route": file.name}), 422, "app.neither_file_nor_route")
            self.problem(self.post("/v1/find", {"words": ["--card", file.name]}), 422, "app.find_option")
        document = self.problem(self.post("/v1/rehearse", {**FLIGHT, "errors": "/etc/passwd"}), 422, "app.file_not_given")
        self.assertNotIn("root:", json.dumps(document))
        for field in ("minima", "winds_bulletin"):
            body = {**FLIGHT, field: "/etc/passwd", **({"winds_station": "XXX"} if field == "winds_bulletin" else {})}
            _, _, answer = self.post("/v1/plan", body)
            self.assertNotIn(b"root:", answer)


class WhatIsWrong(WithServer):
    def test_a_fault_stands_at_its_field(self):
        document = self.problem(self.post("/v1/plan", {**FLIGHT, "altitude_ft": 90000, "wind": "270/"}), 422, "app.out_of_range")
        self.assertEqual({error["where"] for error in document["errors"]}, {"/altitude_ft", "/wind"})
        document = self.problem(self.post("/v1/plan", {**FLIGHT, "altitude_ft": "high", "via": ["XKE", 3], "altitud_ft": 1, "a/b~": 1}),
                                400, "service.field_type", "service.unknown_field")
        self.assertEqual({error["where"] for error in document["errors"]}, {"/altitude_ft", "/via/1", "/altitud_ft", "/a~1b~0"})
        self.problem(self.post("/v1/plan", {"from": "XDOV"}), 400, "service.field_missing")
        self.problem(self.post("/v1/plan", {**FLIGHT, "date": "tomorrow"}), 422, "cli.date")
        self.problem(self.post("/v1/plan", {**FLIGHT, "to": "XNOWHERE"}), 404, "app.unknown_ident")
        self.problem(self.post("/v1/judge", {"card": card_of(**FLIGHT), "wind": "270/20"}), 400, "service.unknown_field")
        self.problem(self.post("/v1/plan", {**FLIGHT, "from": "X" * 257}), 400, "service.field_length")
        self.problem(self.post("/v1/plan", {**FLIGHT, "via": ["XKE"] * 201}), 400, "service.field_length")
        for body in (b"", b"{", b"[]", b'{"from": "\xff"}', b'{"from": 1e999}', b'{"from":"XDOV","from":"XMRA"}', b"[" * 100000,
                     b'{"a":' * 3000 + b"1" + b"}" * 3000, json.dumps({str(i): i for i in range(300)}).encode()):
            self.problem(self.post("/v1/plan", body), 400, "service.body_form")
        for query in ("", "?", "?ident", "?ident=%zz", "?ident=%ff", "?ident=XMR&ident=XMR", "?ident=" + "X" * 300, "?other=XMR"):
            self.assertIn(self.server.ask("GET", f"/v1/show{query}")[0], (400, 404))
        self.problem(self.server.ask("GET", "/v1/show?ident=%ff"), 400, "service.query")

    def test_too_much_is_refused_before_it_is_kept(self):
        port = self.server.port
        head = f"POST /v1/plan HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nContent-Type: application/json\r\n".encode()
        self.problem(self.post("/v1/plan", b" " * (4 * MIB + 1)), 413, "service.body_size")
        self.assertIn(b" 413 ", self.server.raw(head + b"Content-Length: 99999999999\r\n\r\n").split(b"\r\n")[0])
        with self.server.connect() as wire:
            wire.sendall(head + b"Transfer-Encoding: chunked\r\n\r\n")
            answer = b""
            try:
                for _ in range(80):
                    wire.sendall(b"10000\r\n" + b" " * 65536 + b"\r\n")
            except OSError:
                pass
            answer = wire.recv(65536)
        self.assertTrue(answer.startswith(b"HTTP/1.1 413 "), answer[:100])
        self.assertIn(b" 431 ", self.server.raw(head + b"X: " + b"x" * 20000 + b"\r\n\r\n").split(b"\r\n")[0])
        for line in (b"GET", b"GET / HTTP/9.9", b"\x16\x03\x01\x02\x00", b"GET http://example.org/ HTTP/1.1", b"GET * HTTP/1.1"):
            first = self.server.raw(line + f"\r\nHost: 127.0.0.1:{port}\r\n\r\n".encode()).split(b"\r\n")[0]
            self.assertIn(b" 400 ", first, line)
        both = head + b"Content-Length: 3\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n"
        self.assertIn(b" 400 ", self.server.raw(both).split(b"\r\n")[0])

    def test_methods_paths_and_connections_are_as_http_has_them(self):
        self.problem(self.server.ask("GET", "/v1/nothing"), 404, "service.path")
        self.assertEqual(self.problem(self.server.ask("GET", "/v1/plan"), 405, "service.method")["instance"], "/v1/plan")
        self.assertEqual(self.server.ask("DELETE", "/")[1]["allow"], "GET, HEAD")
        whole = self.server.ask("GET", "/v1/show?ident=XMR")
        head = self.server.ask("HEAD", "/v1/show?ident=XMR")
        self.assertEqual((head[0], head[1]["content-length"], head[2]), (200, str(len(whole[2])), b""))
        connection = http.client.HTTPConnection(self.server.address, self.server.port, timeout=30)
        connection.request("GET", "/v1/show?ident=XMR")
        wire = connection.sock
        for _ in range(3):
            self.assertEqual(connection.getresponse().read(), whole[2])
            connection.request("GET", "/v1/show?ident=XMR")
            self.assertIs(connection.sock, wire)
        connection.close()
        with self.server.connect() as wire:
            body = json.dumps({"at": "40.3,-171,5000"}).encode()
            wire.sendall(f"POST /v1/hear HTTP/1.1\r\nHost: 127.0.0.1:{self.server.port}\r\nContent-Type: application/json\r\n"
                         f"Expect: 100-continue\r\nContent-Length: {len(body)}\r\n\r\n".encode())
            self.assertEqual(wire.recv(25), b"HTTP/1.1 100 Continue\r\n\r\n")
            wire.sendall(body)
            self.assertTrue(wire.recv(100).startswith(b"HTTP/1.1 200 "))

    def test_the_page_says_when_it_is_the_same(self):
        status, fields, body = self.server.ask("GET", "/", fields={"Accept-Encoding": "identity"})
        self.assertEqual((status, fields["content-type"]), (200, "text/html; charset=utf-8"))
        self.assertTrue(body.startswith(b"<!doctype html>"))
        if "etag" in fields:  # the page was built
            again = self.server.ask("GET", "/", fields={"If-None-Match": fields["etag"]})
            self.assertEqual((again[0], again[2]), (304, b""))


def unlikely(draw, kind):
    """A value of that type that few mean."""
    texts = ["X", "XMRA", "XKE", "270/20", "999/999", "-1", "/etc/passwd", "DCT XDV V14 XKE", "XKE=084", "--vor", "I27", "own", "terps",
             "volume", "XKE/15", "40.3,-171,5000", "90,180,1e9", "2026-02-30", "nominal", "a\nb", "é\u202e", "N0110A080", "V" * 200]
    numbers = [0, -1, 1, 2, 5, 30, 250.5, 5000, 12000, 1e5, 1e300, -1e300, 5e-324, 2 ** 53]
    if kind == "array":
        return [draw.choice(texts) for _ in range(draw.randrange(4))]
    return {"string": draw.choice(texts), "boolean": draw.random() < 0.5, "object": {"schema_version": 1, "kind": "card"}}.get(
        kind, draw.choice(numbers))


def worthless(draw, kind):
    """A value for a field of that type, mostly of another one."""
    texts = ["", "X", "XMRA", "\u0000", "é" * 60, "-1", "270/20", "../../etc/passwd", "%s%n", "X" * 300, "\n", "{}", "XKE/15", "\ud7ff"]
    return draw.choice([None, True, -1, 0, 1e300, -1e-300, 2 ** 63, 10 ** 30, 3.5, [], {}, [[]], [None], ["XKE"], [1], {"a": {}},
                        draw.choice(texts), [draw.choice(texts) for _ in range(draw.randrange(4))], {kind: kind}])


def malformed(draw):
    """Method, path, body as bytes."""
    path, method, operation = draw.choice(list(operations()))
    body = body_of(operation)
    if body is None or draw.random() < 0.05:
        junk = "".join(draw.choice("abXMR%/?&=.\\\"'<>0129") for _ in range(draw.randrange(30)))
        return draw.choice(["GET", method]), f"{path}?{draw.choice(['', 'ident='])}{junk}".replace("%", "%25" if draw.random() < 0.5 else "%"), None
    fields = fields_of(body["schema"])
    value = unlikely if draw.random() < 0.5 else worthless
    asked = {name: value(draw, fields[name].get("type", "object")) for name in draw.sample(sorted(fields), draw.randrange(1, min(len(fields), 4) + 1))}
    if draw.random() < 0.5:
        example = {name: value for name, value in body["example"].items() if draw.random() < 0.8}
        asked = {**example, **asked}
    if draw.random() < 0.1:
        asked[draw.choice(["", "frm", "a/b", "__proto__", "x" * 500])] = worthless(draw, "string")
    asked.pop("prove", None)  # work without end is no fault of form
    asked = {**asked, "flights": 1} if path == "/v1/rehearse" and "flights" not in asked else asked
    if isinstance(asked.get("flights"), (int, float)) and asked["flights"] > 1:
        asked["flights"] = 2 ** 63
    data = json.dumps(asked).encode()
    if draw.random() < 0.1:
        place = draw.randrange(len(data))
        data = data[:place] + bytes([draw.randrange(256)]) + data[place + draw.randrange(3):]
    return method, path, data


class WhatOthersDo(WithServer):
    def test_malformed_requests_are_refused_and_nothing_falls_over(self):
        number = int(os.environ.get("OMNIWAY_FUZZ_REQUESTS", 2000))
        draw = random.Random(20261127)
        asked = [malformed(draw) for _ in range(number)]
        statuses = {}

        def ask(request):
            method, path, body = request
            try:
                return request, self.server.ask(method, path.replace(" ", "%20"), body, timeout=120)
            except http.client.HTTPException as fault:
                return request, fault

        with concurrent.futures.ThreadPoolExecutor(4) as pool:
            for request, answer in pool.map(ask, asked):
                self.assertIsInstance(answer, tuple, request)
                status, fields, body = answer
                statuses[status] = statuses.get(status, 0) + 1
                self.assertIn(status, (200, 400, 404, 405, 415, 422), (request, body[:300]))
                if status != 200:
                    self.assertEqual(fields["content-type"], "application/problem+json")
                    for error in json.loads(body)["errors"]:
                        self.assertIn(error["code"], CODES, request)
        self.assertIsNone(self.server.process.poll())
        self.assertGreater(statuses.get(400, 0), number // 3, statuses)
        print(f"\n{number} malformed requests: {dict(sorted(statuses.items()))}", file=sys.stderr)

    def test_two_hundred_stalled_connections_delay_nobody(self):
        head = f"POST /v1/plan HTTP/1.1\r\nHost: 127.0.0.1:{self.server.port}\r\nContent-Type: application/json\r\n".encode()
        began = [b"", b"GET / HT", head, head + b"Content-Length: 1000\r\n\r\n{", head + b"Transfer-Encoding: chunked\r\n\r\n10\r\n"]

        def quick(server):
            since = time.monotonic()
            self.assertEqual(server.ask("GET", "/v1/show?ident=XMR")[0], 200)
            return time.monotonic() - since

        wires = []
        try:
            for i in range(200):
                wires.append(self.server.connect())
                wires[-1].sendall(began[i % len(began)])
            # Beside a service that has no others, by turns: what else the machine does is then shared by both.
            with Server() as undisturbed:
                times = [(quick(undisturbed), quick(self.server)) for _ in range(25)]
            alone, beside = (sorted(each)[12] for each in zip(*times))
            print(f"\nshow: {alone * 1e3:.1f} ms alone, {beside * 1e3:.1f} ms beside 200 stalled connections (medians of 25)", file=sys.stderr)
            self.assertLess(beside, alone * 3 + 0.2)
            # And none of them is kept for ever: 30 s at most (Limits), seen by its end.
            for wire in wires[:5]:
                wire.settimeout(90)
                self.assertEqual(wire.recv(1), b"")
        finally:
            for wire in wires:
                wire.close()

    def test_fifty_clients_at_once_are_all_answered(self):
        since = []

        def client(_):
            began = time.monotonic()
            got = self.server.ask("GET", "/v1/show?ident=XMR")[0], self.post("/v1/hear", {"at": "40.3,-171,5000"})[0]
            since.append((time.monotonic() - began) / 2)
            return got

        with concurrent.futures.ThreadPoolExecutor(50) as pool:
            self.assertEqual(set(pool.map(client, range(100))), {(200, 200)})
        since.sort()
        print(f"\n50 clients, show and hear: median {since[50] * 1e3:.0f} ms, longest {since[-1] * 1e3:.0f} ms", file=sys.stderr)

    def test_fifty_clients_who_look_at_a_flight_are_all_answered(self):
        """Each asks for the flight, its card, and what is drawn of it, as the page does."""
        took = []

        def client(_):
            for path in ("/v1/plan", "/v1/card", "/v1/ribbon", "/v1/panel"):
                body = {"card": card} if path in ("/v1/ribbon", "/v1/panel") else FLIGHT
                began = time.monotonic()
                status, _, data = self.server.ask("POST", path, body)
                took.append(time.monotonic() - began)
                self.assertEqual(status, 200, data[:300])

        card = json.loads(self.post("/v1/card", FLIGHT)[2])
        with concurrent.futures.ThreadPoolExecutor(50) as pool:
            list(pool.map(client, range(50)))
        took.sort()
        print(f"\n50 clients, a flight and its pictures: median {took[100] * 1e3:.0f} ms, 99 % within {took[197] * 1e3:.0f} ms", file=sys.stderr)

    def test_an_answer_that_is_kept_is_that_of_the_atlas_as_it_is_now(self):
        with tempfile.TemporaryDirectory() as folder:
            atlas = pathlib.Path(folder) / "an.atlas"
            shutil.copy(ENVIRONMENT["OMNIWAY_ATLAS"], atlas)
            with Server("--atlas", atlas) as server:
                first = server.ask("POST", "/v1/plan", FLIGHT)
                again = server.ask("POST", "/v1/plan", FLIGHT)
                self.assertEqual((first[0], first[2]), (200, again[2]))
                atlas.unlink()
                status, _, body = server.ask("POST", "/v1/plan", FLIGHT)
                self.assertNotEqual(status, 200)
                self.assertTrue(all(error["code"].startswith("atlas.") or error["code"].startswith("app.") for error in json.loads(body)["errors"]), body)

    def test_beyond_what_may_wait_the_answer_is_to_come_again(self):
        threads = min(len(os.sched_getaffinity(0)), 8)  # that compute: src/service/serve.cpp
        with Server() as server, concurrent.futures.ThreadPoolExecutor(200) as pool:
            # Every thread flies a rehearsal that does not end, so that all of these wait. No two are the same: an answer that is known keeps nobody waiting.
            flown = [rehearsing(server, 1000000)[0] for _ in range(threads)]
            asked = [{"at": f"40.3,-171,{5000 + i}"} for i in range(200)]
            waiting = [pool.submit(server.ask, "POST", "/v1/hear", each, timeout=200) for each in asked]
            refused = concurrent.futures.as_completed(waiting, timeout=180)
            first = [next(refused).result() for _ in range(200 - 128)]
            for wire in flown:
                wire.close()
            answers = [each.result() for each in waiting]
            busy = [answer for answer in answers if answer[0] != 200]
            self.assertEqual({answer[0] for answer in first}, {503})
            self.assertGreaterEqual(len(busy), len(first))
            for answer in busy:
                self.problem(answer, 503, "service.busy")
                self.assertEqual(answer[1]["retry-after"], "1")
            self.assertTrue(all(json.loads(answer[2])["kind"] == "hear" for answer in answers if answer[0] == 200))


class Stopping(unittest.TestCase):
    def test_a_signal_lets_what_is_being_answered_be_finished(self):
        for number in (signal.SIGTERM, signal.SIGINT):
            with self.subTest(signal=number), Server() as server:
                idle = server.connect()
                # A second's work on a quiet machine: on a busy one it ends within the ten that are given it too.
                wire, told = rehearsing(server, 400)
                server.process.send_signal(number)
                with wire:
                    while piece := wire.recv(65536):
                        told += piece
                self.assertIn(b"event: answer", told)
                self.assertTrue(told.endswith(b"0\r\n\r\n"), told[-100:])
                self.assertEqual(idle.recv(1), b"")
                idle.close()
                self.assertEqual(server.process.wait(60), 0)
                with self.assertRaises(OSError):
                    server.connect()

    def test_a_client_that_leaves_gives_its_rehearsal_up(self):
        with Server() as server:
            wire, _ = rehearsing(server, 1000000)
            wire.close()
            # A thread computes it no more: as many questions as there are threads are answered, and the service ends before the ten
            # seconds are over that what is being answered has.
            self.assertEqual(server.ask("POST", "/v1/hear", {"at": "40.3,-171,5000"})[0], 200)
            began = time.monotonic()
            self.assertEqual(server.stop(), 0)
            self.assertLess(time.monotonic() - began, 9.0)

    def test_what_takes_too_long_is_given_up(self):
        with Server() as server:
            wire, _ = rehearsing(server, 1000000)
            began = time.monotonic()
            self.assertEqual(server.stop(timeout=90), 0)
            self.assertGreater(time.monotonic() - began, 8.0)
            wire.close()

    def test_a_port_that_is_taken_is_said(self):
        with Server() as server:
            done = subprocess.run([OMNIWAY, "serve", "--port", str(server.port)], capture_output=True, text=True, env=ENVIRONMENT, timeout=20,
                                  check=False)
            self.assertEqual((done.returncode, done.stdout), (2, ""))
            self.assertIn("serve.port_taken", done.stderr)


if __name__ == "__main__":
    unittest.main()
