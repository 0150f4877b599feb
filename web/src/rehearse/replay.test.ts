import { describe, expect, it } from "vitest";
import type { ReplayDocument } from "../api/generated";
import { Cursor } from "../flight/cursor";
import { abeam, Replay } from "./replay";

// Abeam 100 s of the meant flight for a minute of its own, and never farther than 150 s.
const places: ReadonlyArray<readonly [flown_s: number, at_s: number]> = [
  [0, 0],
  [50, 60],
  [90, 100],
  [150, 100],
  [200, 150],
  [260, 150],
];
const document = {
  flight: 3,
  flown_s: 260,
  instruments: [],
  samples: places.map(([flown_s, at_s]) => ({ flown_s, at_s, latitude_deg: 40, longitude_deg: 0 })),
} as unknown as ReplayDocument;

function linked() {
  const waiting: Array<() => void> = [];
  const cursor = () => new Cursor(0, (then) => void waiting.push(then));
  const frame = () => waiting.splice(0).forEach((then) => then());
  const settle = () => {
    for (let frames = 0; waiting.length > 0; ++frames) {
      if (frames > 20) throw new Error("the cursors move each other for ever");
      frame();
    }
  };
  const [meant, replay] = [cursor(), new Replay(document, cursor())];
  abeam(meant, replay);
  settle();
  return { meant, replay, frame, settle };
}

describe("a replay beside the flight that was meant", () => {
  it("is abeam of the cursor: the first moment at that place", () => {
    const { meant, replay, settle } = linked();
    meant.move(100);
    settle();
    expect([meant.at_s, replay.cursor.at_s]).toEqual([100, 90]);
  });

  it("leaves the cursor where it is between two samples", () => {
    const { meant, replay, settle } = linked();
    meant.move(80);
    settle();
    expect([meant.at_s, replay.cursor.at_s]).toEqual([80, 90]);
  });

  it("goes on by its own clock where it does not come farther along", () => {
    const { meant, replay, settle } = linked();
    replay.cursor.move(150);
    settle();
    expect([meant.at_s, replay.cursor.at_s]).toEqual([100, 150]);
    replay.cursor.move(230);
    settle();
    expect([meant.at_s, replay.cursor.at_s]).toEqual([150, 230]);
  });

  it("is not pulled back where its clock runs on while the cursor follows", () => {
    const { meant, replay, frame } = linked();
    for (let flown_s = 10; flown_s <= 250; flown_s += 10) {
      replay.cursor.move(flown_s);
      frame();
      expect(replay.cursor.at_s).toBe(flown_s);
    }
    frame();
    expect(meant.at_s).toBe(150);
  });

  it("stands at its end where the cursor goes farther than it came", () => {
    const { meant, replay, settle } = linked();
    meant.move(900);
    settle();
    expect([meant.at_s, replay.cursor.at_s]).toEqual([900, 260]);
  });

  it("shows its panel by its own clock", () => {
    expect(new Replay(document, new Cursor(0, () => {})).panel.samples.map((sample) => sample.at_s)).toEqual(places.map(([flown_s]) => flown_s));
  });
});
