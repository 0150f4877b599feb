import { expect, it } from "vitest";
import { begun, changed, redone, undone } from "./history";

it("goes back and forth through what was done, and forgets what was undone when something new is", () => {
  let history = changed(changed(begun("a"), "b"), "c");
  history = undone(history);
  expect(history.now).toBe("b");
  expect(redone(history).now).toBe("c");
  history = changed(history, "d");
  expect(redone(history).now).toBe("d");
  expect(undone(undone(undone(history))).now).toBe("a");
});

it("takes no note of what changes nothing", () => {
  expect(changed(begun("a"), "a").before).toEqual([]);
});
