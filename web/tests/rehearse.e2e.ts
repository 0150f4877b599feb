import type { Page } from "playwright-core";
import { describe, expect, it } from "vitest";
import type { CardDocument, RehearseDocument, ReplayDocument } from "../src/api/generated";
import { EventParts } from "../src/api/events";
import { demo, demo_search, rehearsal, rehearsal_search } from "./demo";
import { drawn } from "./browser";
import { lost_flight } from "./flown_track";
import { served } from "./served";

const service = served();
const tablet = { viewport: { width: 768, height: 1024 }, hasTouch: true };
const form = (page: Page) => page.getByRole("form", { name: "Rehearse" });
const clock = (page: Page) => page.getByRole("slider", { name: "Clock of the flight flown again" });

async function rehearsed(): Promise<RehearseDocument> {
  const card = await service.document<CardDocument>("/v1/card", demo);
  const answer = await fetch(`${service.address}/v1/rehearse`, {
    method: "POST",
    body: JSON.stringify({ ...rehearsal, card }),
    headers: { "content-type": "application/json" },
  });
  return JSON.parse(new EventParts().take(await answer.text()).at(-1)!.data) as RehearseDocument;
}

async function replayed(flight: number): Promise<ReplayDocument> {
  const { flights: _, ...question } = rehearsal;
  const card = await service.document<CardDocument>("/v1/card", demo);
  return service.document<ReplayDocument>("/v1/replay", { ...question, card, example: flight });
}

describe("a rehearsal", () => {
  it("is asked for by keyboard alone, goes into the address bar, and says how many ended as meant and what is weak", async () => {
    const { page, faults } = await service.open(`${demo_search}&view=rehearse`);
    await drawn(page);
    await page.getByLabel("Flights", { exact: true }).focus();
    await page.keyboard.press("ControlOrMeta+A");
    await page.keyboard.type("120");
    await page.keyboard.press("Tab");
    await page.keyboard.type("my own");
    await page.getByLabel("wind, kt").fill("30");
    await page.getByLabel("VOR, degrees").fill("3");
    const asked = page.waitForRequest((request) => request.url().endsWith("/v1/rehearse"));
    await page.keyboard.press("Enter");
    const { card, ...question } = (await asked).postDataJSON() as Record<string, unknown>;
    expect((card as CardDocument).kind).toBe("card");
    expect(question).toEqual(rehearsal);
    const { rehearsal: found } = await rehearsed();
    await page.locator(".by-step").waitFor();
    expect(new URL(page.url()).search).toBe(demo_search + rehearsal_search);
    const outcome = await page.locator(".outcome").innerText();
    expect(outcome).toContain(`${found!.arrived.did} of ${found!.arrived.of}`);
    for (const one of found!.failed) expect(outcome).toContain(`${one.outcome} ${one.flights}`);
    const rows = page.locator(".by-step tbody tr:has(td)");
    expect(await rows.count()).toBe(found!.steps.length + found!.missed_steps.length);
    for (const weak of found!.weak_points) {
      const row = rows.filter({ has: page.getByRole("button", { name: `step ${weak.step}`, exact: true }) });
      expect(await row.innerText()).toContain(weak.says.replace(/^step \d+: /, "").replace(/^step \d+ /, ""));
    }
    expect(faults).toEqual([]);
  });

  it("leads from a weak point to its step in all views", async () => {
    const { page } = await service.open(demo_search + rehearsal_search);
    await drawn(page);
    const { rehearsal: found } = await rehearsed();
    const [weak] = found!.weak_points;
    await page.getByRole("region", { name: "Weak points" }).getByRole("button", { name: `step ${weak!.step}`, exact: true }).first().click();
    await page.locator(`.step-now [data-step="${weak!.step}"]`).waitFor();
    await page.waitForFunction((step) => location.search.includes(`step=${step}`), weak!.step);
  });

  it("tells how far it is, and given up closes its connection and can be asked for again", async () => {
    const { page } = await service.open(`${demo_search}&view=rehearse&flights=1000000`);
    await page.getByRole("progressbar").waitFor();
    await page.waitForFunction(() => (document.querySelector("progress")?.value ?? 0) > 0);
    expect(await page.getByRole("button", { name: "Fly them" }).isDisabled()).toBe(true);
    const closed = page.waitForEvent("requestfailed", (request) => request.url().endsWith("/v1/rehearse"));
    await page.getByRole("button", { name: "give up" }).click();
    await closed;
    await page.waitForFunction(() => !location.search.includes("flights="));
    expect(await page.getByLabel("Flights", { exact: true }).inputValue()).toBe("1000000");
    expect(await page.getByRole("progressbar").count()).toBe(0);
    expect(await page.getByRole("button", { name: "Fly them" }).isEnabled()).toBe(true);
  });

  it("that cannot be flown says why, with the code", async () => {
    const { page } = await service.open_nothing();
    const problem = { type: "about:blank", title: "Bad input", status: 422, detail: "one thing is wrong", errors: [{ code: "app.fail_form", message: "XRG@soon is no step", where: "/fail/0" }] };
    await page.route("**/v1/rehearse", (route) => route.fulfill({ status: 422, contentType: "application/problem+json", body: JSON.stringify(problem) }));
    await page.goto(`${service.address}/${demo_search}&view=rehearse&flights=10&fail=XRG@soon`);
    const alert = page.getByRole("alert");
    await alert.waitFor();
    expect(await alert.innerText()).toContain("app.fail_form");
    expect(await page.getByLabel("Fails").inputValue()).toBe("XRG@soon");
  });

  it("whose stream breaks off is told from one that ends", async () => {
    const { page } = await service.open_nothing();
    await page.route("**/v1/rehearse", (route) => route.fulfill({ status: 200, contentType: "text/event-stream", body: 'event: progress\ndata: {"stage":"5 flights","share":0.5}\n\n' }));
    await page.goto(demo_url("&view=rehearse&flights=10"));
    const alert = page.getByRole("alert");
    await alert.waitFor();
    expect(await alert.innerText()).toContain("omniway does not answer");
  });
});

const demo_url = (more: string) => `${service.address}/${demo_search}${more}`;

describe("a flight flown again", () => {
  it("is shown on all three views: its line on the chart, how far aside on the ribbon, its panel by its own clock", async () => {
    const flight = lost_flight;
    const { page, faults } = await service.open(demo_search + rehearsal_search);
    await drawn(page);
    await page.locator(".by-step").waitFor();
    const chart = () => page.locator(".chart-box").screenshot();
    const chart_before = await chart();
    expect(await page.locator(".deviation").count()).toBe(0);
    await page.getByRole("button", { name: new RegExp(`^flight ${flight},`) }).click();
    await page.waitForFunction((number) => location.search.includes(`replay=${number}`), flight);
    const bar = page.getByRole("region", { name: "Replay" });
    await bar.waitFor();
    const document = await replayed(flight);
    expect(await bar.innerText()).toContain(`${document.outcome} in step ${document.failed_step}`);
    expect(await page.locator(".deviation .aside .held").count()).toBeGreaterThan(0);
    expect(await page.locator(".deviation .needle .held").count()).toBeGreaterThan(0);
    expect(await page.getByRole("list", { name: "How the route is drawn" }).innerText()).toContain("flown");
    expect((await chart()).equals(chart_before)).toBe(false);
    expect(faults).toEqual([]);
  });

  it("goes on by its own clock, by keys, where its place on the flight that was meant stands", async () => {
    const flight = lost_flight;
    const flown = await replayed(flight);
    const { page } = await service.open(`${demo_search}${rehearsal_search}&replay=${flight}`);
    await clock(page).waitFor();
    await clock(page).focus();
    await page.keyboard.press("End");
    const last = flown.samples.at(-1)!;
    await page.waitForFunction((at_s) => Math.abs(Number(document.querySelector(".ribbon-box")?.getAttribute("aria-valuenow")) - at_s) <= 1, last.at_s);
    const says = await clock(page).getAttribute("aria-valuetext");
    expect(says).toContain(`step ${last.step}`);
    if (last.aside_nm !== null) expect(says).toContain(`${Math.abs(last.aside_nm).toFixed(1)} NM ${last.aside_nm < 0 ? "left" : "right"} of the line`);
    await page.keyboard.press("ArrowLeft");
    const before = await page.locator(".replay-bar output").innerText();
    await page.keyboard.press("PageDown");
    await page.waitForFunction((was) => document.querySelector(".replay-bar output")?.textContent !== was, before);
  });

  it("follows the cursor of the ribbon", async () => {
    const flight = lost_flight;
    const flown = await replayed(flight);
    const { page } = await service.open(`${demo_search}${rehearsal_search}&replay=${flight}&at=10:00`);
    await clock(page).waitFor();
    const abeam = flown.samples.find((sample) => sample.at_s >= 600)!;
    await page.waitForFunction((flown_s) => Math.abs(Number(document.querySelector<HTMLInputElement>(".replay-bar input")?.value) - flown_s) <= 1, abeam.flown_s);
    await page.getByRole("slider", { name: "Place along the flight" }).focus();
    await page.keyboard.press("Home");
    await page.waitForFunction(() => Number(document.querySelector<HTMLInputElement>(".replay-bar input")?.value) < 5);
  });

  it("plays and stops, and is closed again", async () => {
    const flight = lost_flight;
    const { page } = await service.open(`${demo_search}${rehearsal_search}&replay=${flight}`, tablet);
    const bar = page.getByRole("region", { name: "Replay" });
    const go = bar.getByRole("button", { name: "play" });
    await go.press("Enter");
    await page.waitForFunction(() => Number(document.querySelector<HTMLInputElement>(".replay-bar input")?.value) > 30);
    await bar.getByRole("button", { name: "stop" }).press("Enter");
    await go.waitFor();
    await bar.getByRole("button", { name: "close" }).tap();
    await page.waitForFunction(() => !location.search.includes("replay="));
    expect(await bar.count()).toBe(0);
    expect(await page.locator(".deviation").count()).toBe(0);
  });

  it("that the service will not fly says why", async () => {
    const { page } = await service.open_nothing();
    await page.route("**/v1/replay", (route) => route.abort("connectionrefused"));
    await page.goto(demo_url(`${rehearsal_search}&replay=3`));
    await page.locator(".by-step").waitFor();
    await page.getByRole("alert").waitFor();
    expect(await page.getByRole("alert").innerText()).toContain("omniway does not answer");
  });

  it("by its number", async () => {
    const { page } = await service.open(demo_search + rehearsal_search);
    await page.locator(".by-step").waitFor();
    const number = page.getByRole("region", { name: "Flown again" }).getByLabel("flight", { exact: true });
    await number.fill("17");
    const asked = page.waitForRequest((request) => request.url().endsWith("/v1/replay"));
    await number.press("Enter");
    expect(((await asked).postDataJSON() as { example: number }).example).toBe(17);
    expect(await form(page).count()).toBe(1);
  });
});
