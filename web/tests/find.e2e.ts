import type { Page } from "playwright-core";
import { describe, expect, it } from "vitest";
import type { FindDocument } from "../src/api/generated";
import { demo, demo_search, find_search, find_words } from "./demo";
import { served } from "./served";

const service = served();
const tablet = { viewport: { width: 768, height: 1024 }, hasTouch: true };
const found = () => service.document<FindDocument>("/v1/find", { words: find_words, date: demo.date });
const places = (page: Page) => page.getByRole("list", { name: "Where the aircraft may be" });
const address_bar = (page: Page) => new URL(page.url()).search;

describe("where one is", () => {
  it("is asked by keyboard alone, goes into the address bar with every reading, and back takes one away", async () => {
    const { page, faults } = await service.open(`${demo_search}&view=find`);
    await page.getByLabel("Altitude, ft").focus();
    await page.keyboard.type("9000");
    for (const [station, figure] of [
      ["xte", "16"],
      ["XHU", "20.5"],
    ] as const) {
      await page.getByRole("combobox", { name: "Read", exact: true }).selectOption("dme");
      await page.getByLabel("Station", { exact: true }).focus();
      await page.keyboard.type(station);
      await page.keyboard.press("Tab");
      await page.keyboard.type(figure);
      await page.keyboard.press("Enter");
      await page.getByRole("list", { name: "Readings" }).getByText(`${station.toUpperCase()} ${figure} NM`).waitFor();
    }
    expect(address_bar(page)).toBe(demo_search + find_search);
    await places(page).waitFor();
    await page.goBack();
    await page.waitForFunction(() => document.querySelectorAll(".readings li").length === 1);
    expect(faults).toEqual([]);
  });

  it("asks the service in the words of the command, and says how sure it is, each place that stands apart and what to tune next", async () => {
    const { page } = await service.open_nothing();
    const asked = page.waitForRequest((request) => request.url().endsWith("/v1/find"));
    await page.goto(`${service.address}/${demo_search}${find_search}`);
    expect((await asked).postDataJSON()).toEqual({ words: find_words, date: demo.date });
    await places(page).waitFor();
    const answer = await found();
    expect(answer.places.length).toBe(2);
    const items = await places(page).getByRole("listitem").allInnerTexts();
    expect(items.length).toBe(2);
    for (const [index, place] of answer.places.entries()) {
      expect(items[index]).toContain(`${"AB"[index]} ${Math.round(place.probability_share * 100)} %`);
      expect(items[index]).toContain(place.by_station!.station.ident);
    }
    const sure = await page.getByRole("list", { name: "How sure" }).innerText();
    for (const region of [answer.half!, answer.most!]) expect(sure).toContain(`${region.greatest_extent_nm.toFixed(1)} NM from end to end`);
    const next = page.getByRole("region", { name: "Tune next" }).getByRole("listitem");
    expect(await next.count()).toBe(answer.next.length);
    expect(await page.getByRole("list", { name: "How the route is drawn" }).innerText()).toContain("95 %");
  });

  it("is drawn on the chart, and goes from it when the readings go", async () => {
    const { page } = await service.open(demo_search + find_search);
    await places(page).waitFor();
    await page.waitForFunction(() => performance.getEntriesByName("omniway-drawn").length > 0);
    const chart = () => page.locator(".chart-box").screenshot();
    const with_region = await chart();
    for (const _ of [1, 2]) await page.getByRole("button", { name: /^drop/ }).first().click();
    await places(page).waitFor({ state: "detached" });
    expect(address_bar(page)).toBe(`${demo_search}&view=find&height=9000`);
    expect((await chart()).equals(with_region)).toBe(false);
  });

  it("what is to be tuned next is put into the form, where its figure is typed by touch", async () => {
    const { page } = await service.open(demo_search + find_search, tablet);
    await places(page).waitFor();
    const { next } = await found();
    const [first] = next;
    await page.getByRole("region", { name: "Tune next" }).getByRole("button").first().tap();
    await page.waitForFunction((ident) => document.querySelector<HTMLInputElement>("input[list=stations-read]")?.value === ident, first!.station.ident);
    expect(await page.getByRole("combobox", { name: "Read", exact: true }).inputValue()).toBe({ radial: "vor", distance: "dme", bearing: "ndb" }[first!.kind]);
    await page.waitForFunction(() => document.activeElement?.classList.contains("typed-into"));
    const pad = page.getByRole("group", { name: "Number pad, into the reading" });
    for (const key of ["2", "6", "5", "delete the last", "4"]) await pad.getByRole("button", { name: key, exact: true }).tap();
    expect(await page.locator("input.typed-into").inputValue()).toBe("264");
    const box = (await pad.getByRole("button", { name: "5", exact: true }).boundingBox())!;
    expect(Math.min(box.width, box.height)).toBeGreaterThanOrEqual(44);
    await page.getByRole("button", { name: "Add" }).tap();
    await page.waitForFunction((word) => location.search.includes(word), `reading=vor:${first!.station.ident}:264`);
  });

  it("is asked by the last known place, airspeed and fuel too, by keyboard alone, and once they are whole", async () => {
    const { page, faults } = await service.open(`${demo_search}&view=find`);
    await page.getByLabel("Altitude, ft").focus();
    const asked: unknown[] = [];
    page.on("request", (request) => request.url().endsWith("/v1/find") && asked.push(request.postDataJSON()));
    // Altitude, heading, airspeed and fuel; past what is ticked; place, minutes and miles: tab leads from each to the next.
    for (const figure of ["9000", "90", "140", "300"]) {
      await page.keyboard.type(figure);
      await page.keyboard.press("Tab");
    }
    await page.getByLabel("Last known place").focus();
    for (const figure of ["xte090012", "25", "3.5"]) {
      await page.keyboard.type(figure);
      await page.keyboard.press("Tab");
    }
    await places(page).waitFor();
    const known = ["--altitude", "9000", "--heading", "90", "--airspeed", "140", "--fuel", "300", "--last", "XTE090012@-25", "--last-within", "3.5"];
    expect(asked).toEqual([{ words: [...known, "--aircraft", demo.aircraft, "--wind", demo.wind], date: demo.date }]);
    expect(address_bar(page)).toBe(`${demo_search}&view=find&height=9000&heading=90&airspeed=140&fuel=300&last=XTE090012@25&last-within=3.5`);
    await page.reload();
    await places(page).waitFor();
    expect(asked[1]).toEqual(asked[0]);
    for (const [label, figure] of [["True airspeed, kt", "140"], ["Fuel left, lb", "300"], ["Last known place", "XTE090012"], ["Minutes since", "25"], ["Within, NM", "3.5"]] as const) {
      expect(await page.getByLabel(label).inputValue(), label).toBe(figure);
    }
    expect(faults).toEqual([]);
  });

  it("nothing is asked without the altitude, and that is said", async () => {
    const { page } = await service.open_nothing();
    const asked: string[] = [];
    page.on("request", (request) => asked.push(new URL(request.url()).pathname));
    await page.goto(`${service.address}/${demo_search}&view=find&reading=vor:XTE:264`);
    await page.getByText("The altitude is needed").waitFor();
    expect(asked).not.toContain("/v1/find");
  });

  it("readings that contradict each other are told with their reason, and no place is", async () => {
    const { page } = await service.open_nothing();
    const answer = await found();
    const contradiction = { readings: [1, 2], too_little_read: false, says: "XTE radial 264 and XHU radial 057 meet nowhere within reach" };
    await page.route("**/v1/find", (route) => route.fulfill({ json: { ...answer, contradiction, places: [], half: null, most: null, next: [], what_now: null } }));
    await page.goto(`${service.address}/${demo_search}${find_search}`);
    const alert = page.getByRole("alert");
    await alert.waitFor();
    expect(await alert.innerText()).toContain(contradiction.says);
    expect(await places(page).getByRole("listitem").count()).toBe(0);
  });

  it("a reading that the service does not understand says why; one that is slow says so meanwhile", async () => {
    const { page } = await service.open_nothing();
    let go_on = () => {};
    const waited = new Promise<void>((done) => (go_on = done));
    const problem = { type: "about:blank", title: "Bad input", status: 422, detail: "XQQ is no station", errors: [{ code: "app.unknown_ident", message: "XQQ is no station", where: "/words/1" }] };
    await page.route("**/v1/find", async (route) => {
      await waited;
      await route.fulfill({ status: 422, contentType: "application/problem+json", body: JSON.stringify(problem) });
    });
    await page.goto(`${service.address}/${demo_search}&view=find&reading=vor:XQQ:264&height=9000`);
    await page.getByText("Reckoning.").waitFor();
    expect(await page.getByLabel("Station", { exact: true }).isEditable()).toBe(true);
    go_on();
    const alert = page.getByRole("alert");
    await alert.waitFor();
    expect(await alert.innerText()).toContain("app.unknown_ident");
  });

  it("needs no flight", async () => {
    const { page } = await service.open_nothing();
    await page.route("**/v1/card", (route) => route.abort("connectionrefused"));
    await page.route("**/v1/plan", (route) => route.abort("connectionrefused"));
    await page.goto(`${service.address}/${find_search.replace("&", "?")}`);
    await places(page).waitFor();
    await page.locator(".chart-box canvas").first().waitFor();
  });
});
