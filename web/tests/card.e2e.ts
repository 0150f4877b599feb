import { describe, expect, it } from "vitest";
import type { CardDocument } from "../src/api/generated";
import { demo, demo_search } from "./demo";
import { served } from "./served";

const service = served();
const tablet = { viewport: { width: 768, height: 1024 }, hasTouch: true };

describe("the card on a tablet", () => {
  it("goes through all steps and the missed approach by keys, and no further", async () => {
    const { card } = await service.document<CardDocument>("/v1/card", demo);
    const steps = [...card.steps, ...card.missed];
    const { page, faults } = await service.open(`${demo_search}&view=card`, tablet);
    const title = page.locator(".card-step h2");
    await title.waitFor();
    const said: string[] = [];
    for (const _ of steps) {
      said.push((await title.textContent())!);
      await page.keyboard.press("ArrowRight");
    }
    expect(said).toEqual(steps.map((step) => `${step.number} ${step.guidance.says}`));
    expect(await title.textContent()).toBe(said.at(-1));
    expect(await page.getByRole("button", { name: "next" }).isDisabled()).toBe(true);
    expect(faults).toEqual([]);
  });

  it("goes on by touch, and stays where it is in the address bar", async () => {
    const { page } = await service.open(`${demo_search}&view=card&step=3`, tablet);
    await page.locator(".card-step h2").waitFor();
    await page.getByRole("button", { name: "next" }).tap();
    await page.waitForFunction(() => location.search.includes("step=4"));
    await page.getByRole("button", { name: "previous" }).tap();
    await page.waitForFunction(() => location.search.includes("step=3"));
  });

  it("goes on by a swipe, and back by one the other way", async () => {
    const { page } = await service.open(`${demo_search}&view=card&step=3`, tablet);
    await page.locator(".card-step h2").waitFor();
    const swipe = (from: number, to: number) =>
      page.evaluate(
        ([from, to]) => {
          const box = document.querySelector(".card-view")!;
          const at = (type: string, clientX: number) => box.dispatchEvent(new PointerEvent(type, { pointerType: "touch", clientX, bubbles: true }));
          at("pointerdown", from!);
          at("pointerup", to!);
        },
        [from, to],
      );
    await swipe(600, 300);
    await page.waitForFunction(() => location.search.includes("step=4"));
    await swipe(300, 330);
    expect(page.url()).toContain("step=4");
    await swipe(300, 600);
    await page.waitForFunction(() => location.search.includes("step=3"));
  });

  it("notes the time at which a fix was passed, and goes on", async () => {
    const { page } = await service.open_nothing(tablet);
    await page.clock.setFixedTime(new Date("2026-11-25T10:15:30Z"));
    await page.goto(`${service.address}/${demo_search}&view=card&step=3`);
    await page.locator(".card-step h2").waitFor();
    await page.keyboard.press("o");
    await page.waitForFunction(() => location.search.includes("step=4"));
    expect(await page.getByRole("list", { name: "Times noted" }).innerText()).toBe("3 10:15:30 UTC");
    await page.keyboard.press("ArrowLeft");
    expect(await page.getByRole("status").textContent()).toBe("over it at 10:15:30 UTC");
  });

  it("has a stopwatch that starts and stops by a key", async () => {
    const { page } = await service.open_nothing(tablet);
    await page.clock.setFixedTime(new Date("2026-11-25T10:15:30Z"));
    await page.goto(`${service.address}/${demo_search}&view=card`);
    await page.locator(".card-step h2").waitFor();
    await page.keyboard.press("s");
    await page.getByRole("button", { name: "stop clock" }).waitFor();
    await page.clock.setFixedTime(new Date("2026-11-25T10:16:45Z"));
    await page.getByRole("button", { name: "stop clock 1:15" }).waitFor();
    await page.keyboard.press("s");
    await page.getByRole("button", { name: "start clock 1:15" }).waitFor();
    await page.clock.setFixedTime(new Date("2026-11-25T10:17:05Z"));
    // A stopped one stays as it is, whatever is drawn anew.
    await page.keyboard.press("n");
    await page.waitForFunction(() => location.search.includes("night"));
    expect(await page.locator(".stopwatch").innerText()).toBe("start clock\n1:15");
  });

  it("is dark by night", async () => {
    const { page } = await service.open(`${demo_search}&view=card`, tablet);
    await page.locator(".card-step h2").waitFor();
    const paper = () => page.evaluate(() => getComputedStyle(document.body).backgroundColor);
    const by_day = await paper();
    await page.keyboard.press("n");
    await page.waitForFunction(() => location.search.includes("night"));
    const brightest = (colour: string) => Math.max(...colour.match(/\d+/g)!.map(Number));
    expect(brightest(by_day)).toBeGreaterThan(230);
    expect(brightest(await paper())).toBeLessThan(20);
  });

  it("leads back to the plan", async () => {
    const { page } = await service.open(`${demo_search}&view=card`, tablet);
    await page.getByRole("button", { name: "back to the plan" }).tap();
    await page.locator(".ribbon").waitFor();
  });
});
