import { describe, expect, it } from "vitest";
import { EventParts } from "./events";

const answer = 'event: progress\ndata: {"stage":"flights","share":0.5}\n\nevent: answer\ndata: {\ndata:   "kind": "rehearse"\ndata: }\n\n';
const events = [
  { name: "progress", data: '{"stage":"flights","share":0.5}' },
  { name: "answer", data: '{\n  "kind": "rehearse"\n}' },
];

describe("a stream of events", () => {
  it("is the same however it is cut into pieces", () => {
    for (let cut = 0; cut <= answer.length; ++cut) {
      const parts = new EventParts();
      expect([...parts.take(answer.slice(0, cut)), ...parts.take(answer.slice(cut))], `cut at ${cut}`).toEqual(events);
    }
  });

  it("has no event of what is not ended yet, and none of a comment", () => {
    const parts = new EventParts();
    expect(parts.take(": still there\n\nevent: answer\ndata: {}")).toEqual([]);
    expect(parts.take("\n\n")).toEqual([{ name: "answer", data: "{}" }]);
  });
});
