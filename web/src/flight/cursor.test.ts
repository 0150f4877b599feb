import { describe, expect, it } from "vitest";
import { Cursor } from "./cursor";

function cursor_with_frames(): { cursor: Cursor; frame: () => void; waiting: () => number } {
  const frames: Array<() => void> = [];
  const cursor = new Cursor(0, (then) => void frames.push(then));
  cursor.length_nm = 100;
  const frame = () => frames.splice(0).forEach((then) => then());
  frame();
  return { cursor, frame, waiting: () => frames.length };
}

describe("the cursor", () => {
  it("tells every watcher the same place in the same frame", () => {
    const { cursor, frame } = cursor_with_frames();
    const told: string[] = [];
    cursor.watch((at_nm) => told.push(`chart ${at_nm}`));
    cursor.watch((at_nm) => told.push(`panel ${at_nm}`));
    told.length = 0;
    cursor.move(12);
    expect(told).toEqual([]);
    frame();
    expect(told).toEqual(["chart 12", "panel 12"]);
  });

  it("is drawn once a frame, however often it is moved", () => {
    const { cursor, frame, waiting } = cursor_with_frames();
    const told: number[] = [];
    cursor.watch((at_nm) => told.push(at_nm));
    for (let at_nm = 1; at_nm <= 50; ++at_nm) cursor.move(at_nm);
    expect(waiting()).toBe(1);
    frame();
    expect(told).toEqual([0, 50]);
  });

  it("stays within the flight", () => {
    const { cursor } = cursor_with_frames();
    cursor.move(-3);
    expect(cursor.at_nm).toBe(0);
    cursor.move(103);
    expect(cursor.at_nm).toBe(100);
  });

  it("waits at its place for a flight that has not come yet", () => {
    const cursor = new Cursor(71, () => {});
    expect(cursor.at_nm).toBe(71);
    cursor.length_nm = 60;
    expect(cursor.at_nm).toBe(60);
  });

  it("tells nothing to who has left", () => {
    const { cursor, frame } = cursor_with_frames();
    const told: number[] = [];
    cursor.watch((at_nm) => told.push(at_nm))();
    cursor.move(5);
    frame();
    expect(told).toEqual([0]);
  });
});
