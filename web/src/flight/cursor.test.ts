import { describe, expect, it } from "vitest";
import { Cursor } from "./cursor";

function cursor_with_frames(): { cursor: Cursor; frame: () => void; waiting: () => number } {
  const frames: Array<() => void> = [];
  const cursor = new Cursor(0, (then) => void frames.push(then));
  cursor.length_s = 100;
  const frame = () => frames.splice(0).forEach((then) => then());
  frame();
  return { cursor, frame, waiting: () => frames.length };
}

describe("the cursor", () => {
  it("tells every watcher the same place in the same frame", () => {
    const { cursor, frame } = cursor_with_frames();
    const told: string[] = [];
    cursor.watch((at_s) => told.push(`chart ${at_s}`));
    cursor.watch((at_s) => told.push(`panel ${at_s}`));
    told.length = 0;
    cursor.move(12);
    expect(told).toEqual([]);
    frame();
    expect(told).toEqual(["chart 12", "panel 12"]);
  });

  it("is drawn once a frame, however often it is moved", () => {
    const { cursor, frame, waiting } = cursor_with_frames();
    const told: number[] = [];
    cursor.watch((at_s) => told.push(at_s));
    for (let at_s = 1; at_s <= 50; ++at_s) cursor.move(at_s);
    expect(waiting()).toBe(1);
    frame();
    expect(told).toEqual([0, 50]);
  });

  it("stays within the flight", () => {
    const { cursor } = cursor_with_frames();
    cursor.move(-3);
    expect(cursor.at_s).toBe(0);
    cursor.move(103);
    expect(cursor.at_s).toBe(100);
  });

  it("waits at its place for a flight that has not come yet", () => {
    const cursor = new Cursor(71, () => {});
    expect(cursor.at_s).toBe(71);
    cursor.length_s = 60;
    expect(cursor.at_s).toBe(60);
  });

  it("tells nothing to who has left", () => {
    const { cursor, frame } = cursor_with_frames();
    const told: number[] = [];
    cursor.watch((at_s) => told.push(at_s))();
    cursor.move(5);
    frame();
    expect(told).toEqual([0]);
  });
});
