import type { Page } from "playwright-core";
import { describe, expect, it } from "vitest";
import type { SearchDocument, ShowDocument } from "../src/api/generated";
import type { RibbonDocument } from "../src/api/pictures";
import { drawn } from "./browser";
import { demo, demo_search } from "./demo";
import { served } from "./served";

const service = served();

const field = (page: Page) => page.getByRole("combobox", { name: "Find on the chart" });
const options = (page: Page) => page.locator(".search-found [role=option]");
const figures = (page: Page, ident: string) => page.getByRole("region", { name: `Figures of ${ident}` });

async function looked_for(page: Page, words: string): Promise<void> {
  await page.keyboard.press("/");
  await page.keyboard.type(words);
  await options(page).first().waitFor();
}

describe("a search on the chart", () => {
  it("by keyboard alone goes to what is found and shows its figures as the service words them", async () => {
    const shown = await service.document<ShowDocument>("/v1/show?ident=XKE");
    const { page, faults } = await service.open(demo_search);
    await drawn(page);
    await looked_for(page, "XKE");
    expect(await field(page).inputValue()).toBe("XKE");
    const before = await page.locator(".chart-box").screenshot();
    await page.keyboard.press("Enter");
    await figures(page, "XKE").getByRole("heading", { name: shown.found[0]!.title }).waitFor();
    const text = await figures(page, "XKE").textContent();
    for (const figure of shown.found[0]!.figures) expect(text).toContain(figure.label + figure.value);
    await page.waitForFunction(() => location.search.includes("chart="));
    expect((await page.locator(".chart-box").screenshot()).equals(before)).toBe(false);
    expect(faults).toEqual([]);
  });

  it("is gone through by arrows, and left by Escape", async () => {
    const found = (await service.document<SearchDocument>("/v1/search?words=XKE&most=12")).found;
    expect(found.length).toBeGreaterThan(1);
    const { page } = await service.open(demo_search);
    await drawn(page);
    await looked_for(page, "XKE");
    await page.keyboard.press("ArrowDown");
    const second = options(page).nth(1);
    expect(await second.getAttribute("aria-selected")).toBe("true");
    expect(await field(page).getAttribute("aria-activedescendant")).toBe(await second.getAttribute("id"));
    await page.keyboard.press("Escape");
    await options(page).first().waitFor({ state: "hidden" });
    await page.keyboard.press("Escape");
    expect(await field(page).inputValue()).toBe("");
  });

  it("says when nothing is named so and what is near", async () => {
    const { page } = await service.open(demo_search);
    await drawn(page);
    await looked_for(page, "XKR");
    await page.getByText("Nothing is named XKR; near it:").waitFor();
    await options(page).filter({ hasText: "XKE" }).first().waitFor();
  });

  it("does not take the stroke that is typed into another field", async () => {
    const { page } = await service.open(demo_search);
    await drawn(page);
    await page.getByLabel("Wind", { exact: true }).fill("");
    await page.getByLabel("Wind", { exact: true }).pressSequentially("270/15");
    expect(await page.getByLabel("Wind", { exact: true }).inputValue()).toBe("270/15");
  });

  it("is done by touch on a tablet", async () => {
    const { page } = await service.open(demo_search, { viewport: { width: 768, height: 1024 }, hasTouch: true });
    await drawn(page);
    await field(page).tap();
    await page.keyboard.type("XKE");
    await options(page).first().tap();
    await figures(page, "XKE").waitFor();
    await page.getByRole("button", { name: "Close the figures" }).tap();
    await figures(page, "XKE").waitFor({ state: "detached" });
  });

  it("says why there are no figures where the service is gone", async () => {
    const { page } = await service.open(demo_search);
    await drawn(page);
    await looked_for(page, "XKE");
    await page.route("**/v1/show*", (route) => route.abort("connectionrefused"));
    await page.keyboard.press("Enter");
    await figures(page, "XKE").getByRole("alert").getByText("omniway does not answer").waitFor();
  });
});

describe("a click on the chart", () => {
  it("shows the figures of what is there, and Escape lets them go", async () => {
    const { page } = await service.open(`${demo_search}&chart=40.4878,-168.6716,240`);
    await drawn(page);
    await page.locator(".chart-box").click();
    await figures(page, "XKE").getByRole("heading", { name: "VOR XKE" }).waitFor();
    await figures(page, "XKE").focus();
    await page.keyboard.press("Escape");
    await figures(page, "XKE").waitFor({ state: "detached" });
  });
});

describe("the address bar", () => {
  it("keeps where the chart stands and what is seen of the ribbon", async () => {
    const { page } = await service.open(`${demo_search}&seen=20-60.5&chart=40.4878,-168.6716,240`);
    await drawn(page);
    expect(await page.locator(".axis-tick text").first().textContent()).toBe("20");
    await page.locator(".ribbon-box").focus();
    await page.keyboard.press("0");
    await page.waitForFunction(() => !location.search.includes("seen="));
    expect(new URL(page.url()).searchParams.get("chart")).toBe("40.4878,-168.6716,240");
    await page.keyboard.press("+");
    await page.waitForFunction(() => location.search.includes("seen="));
    await page.locator(".chart").getByRole("button", { name: "whole flight" }).click();
    await page.waitForFunction(() => !location.search.includes("chart="));
    await page.reload();
    await drawn(page);
    expect(new URL(page.url()).searchParams.get("seen")).not.toBeNull();
  });
});

describe("two fingers on the ribbon", () => {
  it("zoom it, and leave the cursor where it was", async () => {
    const { page } = await service.open(`${demo_search}&at=30:00`, { viewport: { width: 768, height: 1024 }, hasTouch: true });
    await drawn(page);
    const ribbon = await service.document<RibbonDocument>("/v1/ribbon", { card: await service.document("/v1/card", demo) });
    const box = (await page.locator(".touch.scrub").boundingBox())!;
    const slider = page.getByRole("slider", { name: "Place along the flight" });
    const touch = await page.context().newCDPSession(page);
    const y = box.y + box.height / 2;
    const fingers = (apart: number) => [-1, 1].map((side, id) => ({ x: box.x + box.width / 2 + (side * apart) / 2, y, id }));
    // The first finger to come down is one that scrubs: the cursor goes there, and stays when the second comes.
    await touch.send("Input.dispatchTouchEvent", { type: "touchStart", touchPoints: [fingers(100)[0]!] });
    await page.waitForFunction(() => document.querySelector("[role=slider]")?.getAttribute("aria-valuenow") !== "1800");
    const held = await slider.getAttribute("aria-valuenow");
    await touch.send("Input.dispatchTouchEvent", { type: "touchStart", touchPoints: fingers(100) });
    for (const apart of [150, 220, 300]) await touch.send("Input.dispatchTouchEvent", { type: "touchMove", touchPoints: fingers(apart) });
    await touch.send("Input.dispatchTouchEvent", { type: "touchEnd", touchPoints: [] });
    await page.waitForFunction(() => location.search.includes("seen="));
    const [begins = 0, ends = 0] = new URL(page.url()).searchParams.get("seen")!.split("-").map(Number);
    // Thrice as far apart: a third of the whole is seen.
    expect(((ends - begins) * 3) / ribbon.distance_with_missed_nm).toBeCloseTo(1, 1);
    expect(await slider.getAttribute("aria-valuenow")).toBe(held);
  });
});
