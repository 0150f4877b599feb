import type { Page } from "playwright-core";
import { describe, expect, it } from "vitest";
import type { CardDocument, DebriefDocument } from "../src/api/generated";
import { aside_says, needle_says } from "../src/debrief/step_debriefed";
import { demo, demo_search } from "./demo";
import { drawn } from "./browser";
import { flown_track } from "./flown_track";
import { served } from "./served";

const service = served();
const tablet = { viewport: { width: 768, height: 1024 }, hasTouch: true };
const search = `${demo_search}&view=debrief`;
const chooser = (page: Page) => page.getByLabel("Flown track");
const rows = (page: Page) => page.locator(".by-step tbody tr");

async function debriefed(): Promise<DebriefDocument> {
  const card = await service.document<CardDocument>("/v1/card", demo);
  const { text } = await flown_track(service.address);
  return service.document<DebriefDocument>("/v1/debrief", { card, track: text });
}

/** As a person drops a file from the desk. */
async function drop(page: Page, name: string, text: string): Promise<void> {
  await page.evaluate(
    ([name, text]) => {
      const data = new DataTransfer();
      data.items.add(new File([text!], name!));
      const box = document.querySelector(".drop")!;
      for (const type of ["dragenter", "dragover", "drop"]) box.dispatchEvent(new DragEvent(type, { dataTransfer: data, bubbles: true, cancelable: true }));
    },
    [name, text],
  );
}

describe("a flown track", () => {
  it("is chosen by keyboard, and says for each step how far off it was, never a mark", async () => {
    const { page, faults } = await service.open(search);
    await drawn(page);
    // The key opens the browser's own dialogue, which is not ours to test: that it is asked for is, and what is chosen in it.
    await page.evaluate(() => document.querySelector("input[aria-label=\"Flown track\"]")!.addEventListener("click", (event) => (event.preventDefault(), (document.body.dataset["opened"] = "")), { once: true }));
    await chooser(page).focus();
    await page.keyboard.press("Enter");
    await page.waitForFunction(() => "opened" in document.body.dataset);
    const track = await flown_track(service.address);
    const asked = page.waitForRequest((request) => request.url().endsWith("/v1/debrief"));
    await chooser(page).setInputFiles(track);
    const question = (await asked).postDataJSON() as { card: CardDocument; track: string };
    expect([question.card.kind, question.track]).toEqual(["card", track.text]);
    await rows(page).first().waitFor();
    const found = await debriefed();
    const shown = found.steps.filter((step) => step.flown || !step.missed_approach);
    const texts = await rows(page).allInnerTexts();
    expect(texts.length).toBe(shown.length);
    for (const [index, step] of shown.entries()) {
      const row = texts[index];
      if (!step.flown) expect(row).toContain("not flown");
      else if (step.side) expect(row).toContain(aside_says(step.side.aside.worst_nm));
      if (step.side?.needle_of_full_scale) expect(row).toContain(needle_says(step.side.needle_of_full_scale.worst_share));
    }
    const practise = page.getByRole("region", { name: "To practise" });
    const to_practise = await practise.innerText();
    for (const one of found.practise) expect(to_practise).toContain(one.says);
    expect(await page.locator("main").innerText()).not.toMatch(/score|out of (100|ten)|\/100/i);
    expect(faults).toEqual([]);
  });

  it("is dropped, and then stands on the chart and the ribbon", async () => {
    const { page } = await service.open(search);
    await drawn(page);
    const chart = () => page.locator(".chart-box").screenshot();
    const before = await chart();
    const { text } = await flown_track(service.address);
    await drop(page, "flown.csv", text);
    await rows(page).first().waitFor();
    expect(await page.getByRole("list", { name: "How the route is drawn" }).innerText()).toContain("flown");
    expect(await page.locator(".deviation .aside .held").count()).toBeGreaterThan(0);
    expect(await page.locator(".deviation .needle .held").count()).toBeGreaterThan(0);
    // As many corners as there are moments at which a needle guided.
    const corners = (await page.locator(".deviation .needle .held").evaluateAll((paths) => paths.map((path) => path.getAttribute("d") ?? ""))).join("").match(/[ML]/g)!.length;
    expect(corners).toBe((await debriefed()).moments.filter((moment) => moment.needle !== null).length);
    expect((await chart()).equals(before)).toBe(false);
    expect(await page.locator(".drop").innerText()).toContain("flown.csv");
  });

  it("leads from what is to practise to its step, by touch", async () => {
    const { page } = await service.open(search, tablet);
    await drawn(page);
    await chooser(page).setInputFiles(await flown_track(service.address));
    const { practise } = await debriefed();
    const [step] = practise[0]!.steps;
    await page.getByRole("region", { name: "To practise" }).getByRole("button", { name: `step ${step}`, exact: true }).first().tap();
    await page.waitForFunction((number) => location.search.includes(`step=${number}`), step);
  });

  it("stays while another view is looked at", async () => {
    const { page } = await service.open(search);
    await drawn(page);
    await chooser(page).setInputFiles(await flown_track(service.address));
    await rows(page).first().waitFor();
    await page.getByRole("button", { name: "Flight", exact: true }).click();
    await rows(page).first().waitFor({ state: "detached" });
    expect(await page.locator(".deviation").count()).toBe(0);
    await page.getByRole("button", { name: "Debrief" }).click();
    await rows(page).first().waitFor();
  });

  it("that cannot be used says why, with the code; while a slow service reads it, that is said", async () => {
    const { page } = await service.open_nothing();
    let go_on = () => {};
    const waited = new Promise<void>((done) => (go_on = done));
    const problem = { type: "about:blank", title: "Bad input", status: 422, detail: "no track", errors: [{ code: "track.form_unknown", message: "the file begins as none of the forms", where: "track:1" }] };
    await page.route("**/v1/debrief", async (route) => {
      await waited;
      await route.fulfill({ status: 422, contentType: "application/problem+json", body: JSON.stringify(problem) });
    });
    await page.goto(`${service.address}/${search}`);
    await drawn(page);
    await drop(page, "notes.txt", "no track");
    await page.getByText("Laying the track against the card.").waitFor();
    go_on();
    const alert = page.getByRole("alert");
    await alert.waitFor();
    expect(await alert.innerText()).toContain("track.form_unknown");
    expect(await page.getByRole("form", { name: "Which flight of the track" }).count()).toBe(0);
  });

  it("with two flights is asked for the one that is meant", async () => {
    const { page } = await service.open_nothing();
    const found = await debriefed();
    const problem = { type: "about:blank", title: "Bad input", status: 422, detail: "two", errors: [{ code: "track.two_flights", message: "the file has 2 flights", where: "track" }] };
    await page.route("**/v1/debrief", (route) => {
      const { flight_of_track } = route.request().postDataJSON() as { flight_of_track?: number };
      return flight_of_track === 2
        ? route.fulfill({ json: { ...found, track: { ...found.track, flight: 2, flights: 2 } } })
        : route.fulfill({ status: 422, contentType: "application/problem+json", body: JSON.stringify(problem) });
    });
    await page.goto(`${service.address}/${search}`);
    await drawn(page);
    await chooser(page).setInputFiles(await flown_track(service.address));
    const which = page.getByRole("form", { name: "Which flight of the track" });
    await which.getByLabel("flight").fill("2");
    await which.getByLabel("flight").press("Enter");
    await rows(page).first().waitFor();
    expect(await page.getByRole("alert").count()).toBe(0);
  });
});
