import type { Page } from "playwright-core";
import { describe, expect, it } from "vitest";
import type { NextDocument, PlanDocument } from "../src/api/generated";
import { drawn } from "./browser";
import { by_hand, by_hand_search, demo, demo_search } from "./demo";
import { served } from "./served";

const service = served();

const route_in_address = (page: Page) => new URL(page.url()).searchParams.get("route");
const has_route = (page: Page, route: string) => page.waitForFunction((text) => new URLSearchParams(location.search).get("route") === text, route);
const words = (page: Page) => page.getByRole("list", { name: "Words of the route" });
const word = (page: Page, text: string) => words(page).locator(":scope > li").filter({ has: page.locator("b", { hasText: new RegExp(`^${text}$`) }) }).first();
const on_airway = (page: Page) => page.getByRole("button", { name: "V14 to XKE" });

/** Looks for something on the chart, so that it stands in its middle, and lets its figures go. */
async function bring_to_middle(page: Page, ident: string): Promise<void> {
  await page.getByRole("combobox", { name: "Find on the chart" }).waitFor();
  await page.keyboard.press("/");
  await page.keyboard.type(ident);
  await page.locator(".search-found [role=option]").first().waitFor();
  await page.keyboard.press("Enter");
  await page.getByRole("button", { name: "Close the figures" }).click();
}

describe("a route by hand", () => {
  it("begins with the planned flight, and leads back to it", async () => {
    const plan = await service.document<PlanDocument>("/v1/plan", demo);
    const { page, faults } = await service.open(demo_search);
    await drawn(page);
    await page.getByRole("button", { name: "Change this flight" }).click();
    await words(page).waitFor();
    expect(route_in_address(page)).toBe(plan.flight!.route);
    // Nothing is changed yet: what is judged is what was planned.
    await page.getByRole("heading", { level: 1 }).getByText(plan.flight!.route).waitFor();
    await page.getByText(`${plan.flight!.cruise_altitude_msl_ft.toLocaleString("en")} ft`, { exact: true }).waitFor();
    await page.getByText(plan.flight!.approach, { exact: true }).first().waitFor();
    expect((await words(page).locator(":scope > li").count()) - 2).toBeGreaterThan(0);
    await page.getByRole("button", { name: "Planned flight" }).click();
    await page.getByRole("button", { name: "Change this flight" }).waitFor();
    expect(route_in_address(page)).toBeNull();
    expect(faults).toEqual([]);
  });

  it("begins with nothing but its airports, and then says what it can begin with", async () => {
    const next = await service.document<NextDocument>("/v1/next", { from: demo.from, to: demo.to, aircraft: demo.aircraft });
    const { page } = await service.open(demo_search);
    await drawn(page);
    await page.getByRole("button", { name: "Build by hand" }).click();
    await has_route(page, by_hand.empty);
    expect(await words(page).locator(":scope > li").count()).toBe(2);
    for (const departure of next.departures) await page.getByRole("button", { name: departure.name }).waitFor();
  });

  it("is built by keyboard alone; every word is judged at once, with what is wrong beside it; and undone", async () => {
    const { page, faults } = await service.open(by_hand_search(by_hand.begun));
    await word(page, "XMRA").getByText("no approach begins at XDV").waitFor();
    await on_airway(page).focus();
    await page.keyboard.press("Enter");
    await has_route(page, by_hand.on_airway);
    await word(page, "XMRA").getByText("no approach begins at XKE").waitFor();
    expect(await word(page, "XKE").textContent()).not.toContain("no approach begins");
    expect(await page.getByRole("button", { name: "V14 XKE", exact: true }).getAttribute("aria-pressed")).toBe("true");
    await page.keyboard.press("ControlOrMeta+z");
    await has_route(page, by_hand.begun);
    await word(page, "XMRA").getByText("no approach begins at XDV").waitFor();
    await page.keyboard.press("ControlOrMeta+y");
    await has_route(page, by_hand.on_airway);
    await page.getByRole("button", { name: "Take out XKE" }).focus();
    await page.keyboard.press("Enter");
    await has_route(page, by_hand.begun);
    expect(faults).toEqual([]);
  });

  it("takes a word before the one that is chosen, and keeps the airway that passes it", async () => {
    const { page } = await service.open(by_hand_search(by_hand.on_airway));
    await page.getByRole("button", { name: "V14 XKE", exact: true }).click();
    await page.getByText("before XKE").click();
    await page.getByRole("heading", { name: "Behind XDV" }).waitFor();
    await page.getByRole("button", { name: "V14 to XUVIN" }).click();
    await has_route(page, "XDOV DCT XDV V14 XUVIN V14 XKE XMRA");
  });

  it("takes an approach with the point where it begins, and asks for it", async () => {
    const { page } = await service.open(by_hand_search(by_hand.on_airway));
    await page.getByRole("button", { name: "ILS RW27 via XOBAN" }).click();
    await has_route(page, "XDOV DCT XDV V14 XKE DCT XOBAN XMRA");
    expect(new URL(page.url()).searchParams.get("approach")).toBe("I27/XOBAN");
  });

  it("is flown at the altitude that is asked for", async () => {
    const { page } = await service.open(by_hand_search(by_hand.begun));
    await on_airway(page).waitFor();
    const asked = page.waitForRequest((request) => request.url().endsWith("/v1/judge"));
    await page.getByLabel("Cruise, ft; empty").fill("10000");
    await page.keyboard.press("Tab");
    expect((await asked).postDataJSON()).toEqual({ ...demo, route: by_hand.begun, altitude_ft: 10000 });
    expect(new URL(page.url()).searchParams.get("level")).toBe("10000");
  });

  it("says of a word that is not understood why, beside it", async () => {
    const message = "no aid or fix is named 'XZZZZ', nor anything like it; 46N078W and XKE180040 name places without a name";
    const { page } = await service.open_nothing();
    await page.route(/\/v1\/(judge|card)$/, (route) => {
      const unknown = (route.request().postDataJSON() as { route: string }).route.includes("XZZZZ");
      const body = { type: "about:blank", title: "Bad input", status: 422, detail: message, errors: [{ code: "route.unknown_point", message, where: "ROUTE:1:18" }] };
      return unknown ? route.fulfill({ status: 422, contentType: "application/problem+json", body: JSON.stringify(body) }) : route.continue();
    });
    await page.goto(`${service.address}/${by_hand_search(by_hand.begun)}`);
    await page.getByLabel("Direct to an aid").fill("xzzzz");
    await page.keyboard.press("Enter");
    await has_route(page, "XDOV DCT XDV DCT XZZZZ XMRA");
    await word(page, "XZZZZ").getByText(message).waitFor();
    expect(await page.getByRole("alert").count()).toBe(0);
  });

  it("that can be flown has its ribbon, its panel and its card like one that was planned", async () => {
    const { page, faults } = await service.open(by_hand_search(by_hand.whole));
    await drawn(page);
    expect(await page.getByRole("heading", { level: 1 }).textContent()).toContain(by_hand.whole);
    expect(await page.getByRole("heading", { level: 1 }).textContent()).toContain("flyable if");
    await page.locator(".ribbon .step").first().waitFor();
    await page.getByRole("button", { name: "Card" }).click();
    await page.locator(".card-step").waitFor();
    await page.keyboard.press("Escape");
    await words(page).waitFor();
    expect(route_in_address(page)).toBe(by_hand.whole);
    expect(faults).toEqual([]);
  });

  it("takes what is clicked on the chart", async () => {
    const { page } = await service.open(by_hand_search(by_hand.begun));
    await on_airway(page).waitFor();
    await bring_to_middle(page, "XKE");
    await page.locator(".chart-box").click();
    await has_route(page, "XDOV DCT XDV DCT XKE XMRA");
  });

  it("is built by touch on a tablet", async () => {
    const { page } = await service.open(by_hand_search(by_hand.begun), { viewport: { width: 768, height: 1024 }, hasTouch: true });
    await on_airway(page).tap();
    await has_route(page, by_hand.on_airway);
    await page.getByRole("button", { name: "Undo" }).tap();
    await has_route(page, by_hand.begun);
  });

  it("can be built on while a slow service judges, and says when it is gone", async () => {
    const { page } = await service.open_nothing();
    let go_on = () => {};
    const waited = new Promise<void>((done) => (go_on = done));
    await page.route("**/v1/judge", async (route) => {
      await waited;
      await route.continue();
    });
    await page.goto(`${service.address}/${by_hand_search(by_hand.begun)}`);
    await on_airway(page).click();
    await has_route(page, by_hand.on_airway);
    await page.locator(".next[aria-busy=true]").waitFor();
    go_on();
    await word(page, "XMRA").getByText("no approach begins at XKE").waitFor();
    await page.route("**/v1/**", (route) => route.abort("connectionrefused"));
    await page.getByRole("button", { name: "Undo" }).click();
    await page.getByRole("alert").getByText("omniway does not answer").waitFor();
  });
});
