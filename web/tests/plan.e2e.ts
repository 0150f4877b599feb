import { readFileSync } from "node:fs";
import type { Page } from "playwright-core";
import { describe, expect, it } from "vitest";
import type { CardDocument, PlanDocument } from "../src/api/generated";
import type { AboutDocument, RibbonDocument } from "../src/api/pictures";
import { clock_of } from "../src/flight/clock";
import { drawn } from "./browser";
import { demo, demo_search } from "./demo";
import { served } from "./served";

const service = served();

const slider = (page: Page) => page.getByRole("slider", { name: "Place along the flight" });
const place_says = (page: Page) => slider(page).getAttribute("aria-valuetext");
const address_bar = (page: Page) => new URL(page.url()).search;

async function ribbon_document(): Promise<RibbonDocument> {
  const card = await service.document<CardDocument>("/v1/card", demo);
  return service.document("/v1/ribbon", { card });
}

describe("a first visit", () => {
  it("shows the flight that the service proposes, planned, with an address bar that is still empty", async () => {
    const { page, faults } = await service.open("");
    await drawn(page);
    const about = await service.document<AboutDocument>("/v1/about");
    const plan = await service.document<PlanDocument>("/v1/plan", about.first_question);
    const heading = page.getByRole("heading", { level: 1 });
    expect(await heading.textContent()).toContain(plan.flight!.route);
    expect(await heading.textContent()).toContain(plan.verdict);
    expect(await page.locator(".ribbon .step").count()).toBe(plan.flight!.steps.length + plan.flight!.missed_approach.length);
    expect(await page.getByRole("combobox", { name: "From" }).inputValue()).toBe(about.first_question!.from);
    expect(address_bar(page)).toBe("");
    expect(faults).toEqual([]);
  });

  it("speaks to no host but its own", async () => {
    const hosts = new Set<string>();
    const { page } = await service.open_nothing();
    page.on("request", (request) => hosts.add(new URL(request.url()).host));
    await page.goto(`${service.address}/`);
    await drawn(page);
    expect([...hosts]).toEqual([new URL(service.address).host]);
  });
});

describe("an atlas with nothing in it", () => {
  it("leaves a form to ask by, and no fault", async () => {
    const { page, faults } = await service.open_nothing();
    const about = await service.document<AboutDocument>("/v1/about");
    await page.route("**/v1/about", (route) => route.fulfill({ json: { ...about, chart: null, first_question: null } }));
    await page.goto(`${service.address}/`);
    await page.getByRole("option", { name: about.aircraft[0]! }).waitFor({ state: "attached" });
    expect(await page.getByRole("combobox", { name: "From" }).inputValue()).toBe("");
    expect(await page.locator(".ribbon, .verdict, .problem").count()).toBe(0);
    expect(faults).toEqual([]);
  });

  it("still has ribbon and panel for a flight that is asked for, without a chart", async () => {
    const { page, faults } = await service.open_nothing();
    const about = await service.document<AboutDocument>("/v1/about");
    await page.route("**/v1/about", (route) => route.fulfill({ json: { ...about, chart: null } }));
    await page.goto(`${service.address}/${demo_search}`);
    await page.locator(".ribbon .step").first().waitFor();
    await page.locator(".panel").waitFor();
    expect(await page.locator(".chart-box").count()).toBe(0);
    expect(faults).toEqual([]);
  });
});

describe("asking", () => {
  it("by keyboard alone puts the question to the service and into the address bar, and back undoes it", async () => {
    const { page } = await service.open(demo_search);
    await drawn(page);
    await page.getByRole("combobox", { name: "From" }).focus();
    await page.keyboard.press("ControlOrMeta+A");
    await page.keyboard.type("xico");
    await page.keyboard.press("Tab");
    await page.keyboard.type("xmra");
    for (let tab = 0; tab < 2; ++tab) await page.keyboard.press("Tab");
    await page.keyboard.press("ControlOrMeta+A");
    await page.keyboard.type("090/10");
    const asked = page.waitForRequest((request) => request.url().endsWith("/v1/plan"));
    await page.keyboard.press("Enter");
    expect((await asked).postDataJSON()).toEqual({ from: "XICO", to: "XMRA", aircraft: "twin", wind: "090/10", date: demo.date });
    expect(address_bar(page)).toBe(`?from=XICO&to=XMRA&aircraft=twin&wind=090/10&date=${demo.date}`);
    await page.goBack();
    await page.waitForFunction(() => document.querySelector<HTMLInputElement>("input[name=from]")?.value === "XDOV");
    expect(address_bar(page)).toBe(demo_search);
  });

  it("with constraints says them", async () => {
    const { page } = await service.open(demo_search);
    await drawn(page);
    await page.getByText("More", { exact: true }).click();
    await page.getByLabel("Via").fill("xke xhu");
    await page.getByLabel("no NDB").check();
    await page.getByLabel("Flights to offer").fill("3");
    const asked = page.waitForRequest((request) => request.url().endsWith("/v1/plan"));
    await page.getByRole("button", { name: "Plan" }).click();
    expect((await asked).postDataJSON()).toEqual({ ...demo, via: ["XKE", "XHU"], no_ndb: true, choices: 3 });
    expect(address_bar(page)).toBe(`${demo_search}&via=XKE,XHU&no-ndb&choices=3`);
  });

  it("for every constraint there is a field, and the address bar fills it again", async () => {
    const { page } = await service.open(demo_search);
    await drawn(page);
    await page.getByText("More", { exact: true }).click();
    const filled = ["Via", "Avoid", "Out of service", "Cruise, ft", "Not above, ft", "Approach", "Landing runway", "By heading alone, NM", "By level"];
    const written = ["XKE", "XRG", "XUM", "8000", "10000", "i27/xoban", "rw27", "12", "3000 270/20, 9000 290/35"];
    for (const [index, label] of filled.entries()) await page.getByLabel(label, { exact: true }).fill(written[index]!);
    await page.getByLabel("Tolerances").selectOption("PANS-OPS");
    await page.getByLabel("Heard by").selectOption("service volumes");
    const asked = page.waitForRequest((request) => request.url().endsWith("/v1/plan"));
    await page.getByRole("button", { name: "Plan" }).click();
    expect((await asked).postDataJSON()).toEqual({
      ...demo,
      via: ["XKE"],
      avoid: ["XRG"],
      without: ["XUM"],
      altitude_ft: 8000,
      highest_altitude_ft: 10000,
      approach: "I27/XOBAN",
      landing_runway: "RW27",
      dead_reckoning_nm: 12,
      winds: ["3000 270/20, 9000 290/35"],
      criteria: "pans-ops",
      reception: "volume",
    });
    await page.getByText("More (11)", { exact: true }).click();
    await page.reload();
    await page.getByText("More (11)", { exact: true }).click();
    expect(await page.getByLabel("Approach", { exact: true }).inputValue()).toBe("I27/XOBAN");
    expect(await page.getByLabel("By level", { exact: true }).inputValue()).toBe("3000 270/20, 9000 290/35");
    expect(await page.getByLabel("Tolerances").inputValue()).toBe("pans-ops");
  });

  it("with an aircraft of one's own and the minima of one's charts sends their texts, and the aircraft with every card", async () => {
    const { page, faults } = await service.open(demo_search);
    await drawn(page);
    const aircraft = readFileSync(new URL("../../data/aircraft/twin.toml", import.meta.url), "utf8").replace(/^name = .*$/m, 'name = "Own of the test"');
    const minima = "airport,procedure,category,landing,kind,altitude_ft\nXMRA,I27,,straight-in,DA,292\n";
    await page.getByText("More", { exact: true }).click();
    await page.getByLabel("Aircraft of your own").setInputFiles({ name: "own.toml", mimeType: "text/plain", buffer: Buffer.from(aircraft) });
    await page.getByLabel("Minima of your charts").setInputFiles({ name: "minima.csv", mimeType: "text/csv", buffer: Buffer.from(minima) });
    await page.getByRole("button", { name: "Leave out minima.csv" }).waitFor();
    await page.getByRole("button", { name: "Leave out own.toml" }).waitFor();
    const asked = (path: string) => page.waitForRequest((request) => request.url().endsWith(path));
    const [plan, card, ribbon, panel] = ["/v1/plan", "/v1/card", "/v1/ribbon", "/v1/panel"].map(asked);
    await page.getByRole("button", { name: "Plan", exact: true }).click();
    const { aircraft: _, ...rest } = demo;
    expect((await plan)!.postDataJSON()).toEqual({ ...rest, aircraft, minima });
    expect((await card)!.postDataJSON()).toEqual({ ...rest, aircraft, minima });
    expect((await ribbon)!.postDataJSON().aircraft).toBe(aircraft);
    expect((await panel)!.postDataJSON().aircraft).toBe(aircraft);
    await drawn(page);
    if (process.env["OMNIWAY_SERVICE"]) expect((await (await (await card)!.response())!.json()).request.aircraft).toBe("Own of the test");
    await page.locator(".page:not(.busy) .panel").waitFor();
    const rehearsed = asked("/v1/rehearse");
    await page.getByRole("button", { name: "Rehearse" }).click();
    await page.getByRole("button", { name: "Fly them" }).click();
    expect((await rehearsed).postDataJSON().aircraft).toBe(aircraft);
    expect(new URL(page.url()).searchParams.has("aircraft")).toBe(false);
    expect(faults).toEqual([]);
  });

  it("a file stays with its flight when the page is loaded anew or come back to; elsewhere it is asked for, and nothing is planned without it", async () => {
    const { page } = await service.open(demo_search);
    await drawn(page);
    const aircraft = readFileSync(new URL("../../data/aircraft/twin.toml", import.meta.url), "utf8");
    const given = { name: "own.toml", mimeType: "text/plain", buffer: Buffer.from(aircraft) };
    const asked = (where: Page) => where.waitForRequest((request) => request.url().endsWith("/v1/plan")).then((request) => request.postDataJSON().aircraft as string);
    await page.getByText("More", { exact: true }).click();
    await page.getByLabel("Aircraft of your own").setInputFiles(given);
    await page.getByRole("button", { name: "Leave out own.toml" }).waitFor();
    const planned = asked(page);
    await page.getByRole("button", { name: "Plan", exact: true }).click();
    expect(await planned).toBe(aircraft);
    await drawn(page);
    expect(new URL(page.url()).searchParams.get("aircraft-file")).toBe("own.toml");
    const anew = asked(page);
    await page.reload();
    expect(await anew).toBe(aircraft);
    await drawn(page);
    const before = asked(page);
    await page.goBack();
    expect(await before).toBe(demo.aircraft);
    const again = asked(page);
    await page.goForward();
    expect(await again).toBe(aircraft);

    const { page: elsewhere } = await service.open_nothing();
    const planned_there: string[] = [];
    elsewhere.on("request", (request) => void (request.url().endsWith("/v1/plan") && planned_there.push(String(request.postDataJSON().aircraft))));
    const alert = elsewhere.getByRole("alert");
    for (const view of ["&view=card", ""]) {
      await elsewhere.goto(page.url() + view);
      await alert.waitFor();
      expect(await alert.innerText()).toContain("own.toml");
    }
    await elsewhere.waitForLoadState("networkidle");
    expect(planned_there).toEqual([]);
    expect(await elsewhere.locator("select[name=aircraft]").inputValue()).toBe("");
    await elsewhere.getByText("More", { exact: true }).click();
    await elsewhere.getByLabel("Aircraft of your own").setInputFiles(given);
    await elsewhere.getByRole("button", { name: "Leave out own.toml" }).waitFor();
    await elsewhere.getByRole("button", { name: "Plan", exact: true }).click();
    await drawn(elsewhere);
    expect(planned_there).toEqual([aircraft]);
    expect(await elsewhere.getByRole("alert").count()).toBe(0);
  });

  it("what is wrong in a file is told by its line", async () => {
    const { page } = await service.open(demo_search);
    await drawn(page);
    await page.getByText("More", { exact: true }).click();
    await page.getByLabel("Aircraft of your own").setInputFiles({ name: "own.toml", mimeType: "text/plain", buffer: Buffer.from('name = "x"\nspeed = fast\n') });
    await page.getByRole("button", { name: "Leave out own.toml" }).waitFor();
    if (!process.env["OMNIWAY_SERVICE"]) return;
    await page.getByRole("button", { name: "Plan", exact: true }).click();
    const alert = page.getByRole("alert");
    await alert.waitFor();
    expect(await alert.textContent()).toContain("line 2");
  });

  it("what cannot be answered says why, with the code", async () => {
    const { page } = await service.open_nothing();
    const problem = { type: "about:blank", title: "Bad input", status: 400, detail: "one thing is wrong", errors: [{ code: "plan.unknown_airport", message: "XXXX is no airport", where: "from" }] };
    await page.route("**/v1/plan", (route) => route.fulfill({ status: 400, contentType: "application/problem+json", body: JSON.stringify(problem) }));
    await page.goto(`${service.address}/${demo_search}`);
    const alert = page.getByRole("alert");
    await alert.waitFor();
    expect(await alert.textContent()).toContain("XXXX is no airport");
    expect(await alert.textContent()).toContain("plan.unknown_airport");
  });

  it("a fault is told once, by the fields that it names", async () => {
    const { page } = await service.open_nothing();
    const message = "XKE is to be flown over by --via and kept clear of by --avoid: leave out one of the two";
    const problem = { type: "about:blank", title: "Bad input", status: 422, detail: message, errors: [{ code: "app.contradiction", message, where: "/via/0" }] };
    await page.route("**/v1/plan", (route) => route.fulfill({ status: 422, contentType: "application/problem+json", body: JSON.stringify(problem) }));
    await page.goto(`${service.address}/${demo_search}&via=XKE&avoid=XKE`);
    const alert = page.getByRole("alert");
    await alert.waitFor();
    expect((await alert.innerText()).split("\n").filter((line) => line.includes("XKE"))).toEqual([
      "Via: XKE is to be flown over by “Via” and kept clear of by “Avoid”: leave out one of the two app.contradiction",
    ]);
  });

  it("a service that is gone is told from one that refuses", async () => {
    const { page } = await service.open_nothing();
    await page.route("**/v1/**", (route) => route.abort("connectionrefused"));
    await page.goto(`${service.address}/${demo_search}`);
    const alert = page.getByRole("alert");
    await alert.waitFor();
    expect(await alert.textContent()).toContain("omniway does not answer");
  });

  it("while a slow service thinks, the page says so and stays usable", async () => {
    const { page } = await service.open_nothing();
    let go_on = () => {};
    const waited = new Promise<void>((done) => (go_on = done));
    await page.route("**/v1/plan", async (route) => {
      await waited;
      await route.continue();
    });
    await page.goto(`${service.address}/${demo_search}`);
    await page.getByRole("button", { name: "Planning" }).waitFor();
    expect(await page.getByRole("button", { name: "Planning" }).isDisabled()).toBe(true);
    expect(await page.getByRole("combobox", { name: "From" }).isEditable()).toBe(true);
    go_on();
    await page.getByRole("button", { name: "Plan", exact: true }).waitFor();
  });
});

describe("the cursor", () => {
  it("stands where the address bar says, on either axis", async () => {
    const ribbon = await ribbon_document();
    const step = ribbon.steps.findLast((one) => one.begins_s <= 37 * 60 + 18)!;
    const { page, faults } = await service.open(`${demo_search}&at=37:18&axis=time`);
    await drawn(page);
    expect(await place_says(page)).toMatch(new RegExp(`^[\\d.]+ NM, 37:18, step ${step.number}$`));
    expect(await page.getByRole("radio", { name: "time" }).isChecked()).toBe(true);
    expect(faults).toEqual([]);
  });

  it("moved in the ribbon by keys moves the panel, the chart and the step in words", async () => {
    const ribbon = await ribbon_document();
    const { page } = await service.open(`${demo_search}&at=33:00`);
    await drawn(page);
    const miles = async () => parseFloat((await place_says(page))!);
    const before_nm = await miles();
    const chart = () => page.locator(".chart-box").screenshot();
    const [panel_before, chart_before] = [await page.locator(".panel").innerText(), await chart()];
    await slider(page).focus();
    for (let press = 0; press < 3; ++press) await page.keyboard.press("Shift+ArrowRight");
    await page.waitForFunction((from_nm) => parseFloat(document.querySelector("[role=slider]")?.getAttribute("aria-valuetext") ?? "") > from_nm + 29.8, before_nm);
    expect(await miles()).toBeCloseTo(before_nm + 30, 0);
    const at_s = Number(await slider(page).getAttribute("aria-valuenow"));
    const step = ribbon.steps.findLast((one) => one.begins_s <= at_s)!;
    await page.locator(`.step-now [data-step="${step.number}"]`).waitFor();
    expect(await page.locator(".panel").innerText()).not.toBe(panel_before);
    expect((await chart()).equals(chart_before)).toBe(false);
    await page.waitForFunction((clock) => location.search.includes(`at=${clock}`), clock_of(at_s));
    await page.keyboard.press("End");
    await page.waitForFunction((end) => document.querySelector("[role=slider]")?.getAttribute("aria-valuenow") === end, ribbon.time_with_missed_s.toFixed(0));
  });

  it("moved by the pointer goes where it is", async () => {
    const { page } = await service.open(demo_search);
    await drawn(page);
    const box = (await page.locator(".touch.scrub").boundingBox())!;
    await page.mouse.click(box.x + box.width / 2, box.y + box.height / 2);
    const ribbon = await ribbon_document();
    await page.waitForFunction((half) => Math.abs(parseFloat(document.querySelector("[role=slider]")?.getAttribute("aria-valuetext") ?? "") - half) < 0.3, ribbon.distance_with_missed_nm / 2);
  });

  it("stays in sight when the ribbon is zoomed about it", async () => {
    const { page } = await service.open(`${demo_search}&at=50:00`);
    await drawn(page);
    await slider(page).focus();
    for (let press = 0; press < 5; ++press) await page.keyboard.press("+");
    const line = page.locator(".cursor-line");
    expect(await line.isVisible()).toBe(true);
    const before = await slider(page).getAttribute("aria-valuenow");
    for (let press = 0; press < 4; ++press) await page.keyboard.press("Shift+ArrowRight");
    await page.waitForFunction((was) => Number(document.querySelector("[role=slider]")?.getAttribute("aria-valuenow")) > Number(was) + 600, before);
    expect(await line.isVisible()).toBe(true);
  });
});

describe("a step", () => {
  it("picked in the ribbon is picked in words and in the address bar, and the cursor goes to its beginning", async () => {
    const ribbon = await ribbon_document();
    const step = ribbon.steps[5]!;
    const { page } = await service.open(demo_search);
    await drawn(page);
    await page.locator(`.ribbon [data-step="${step.number}"] .touch`).click();
    await page.waitForFunction((number) => location.search.includes(`step=${number}`), step.number);
    expect(await page.locator(".step-now h2").textContent()).toContain(step.says);
    expect(Math.abs(Number(await slider(page).getAttribute("aria-valuenow")) - step.begins_s)).toBeLessThanOrEqual(1);
  });

  it("is gone through by keys, and let go by Escape", async () => {
    const ribbon = await ribbon_document();
    const { page } = await service.open(demo_search);
    await drawn(page);
    await slider(page).focus();
    await page.keyboard.press("PageDown");
    await page.keyboard.press("PageDown");
    const third = ribbon.steps[2]!;
    await page.waitForFunction((number) => location.search.includes(`step=${number}`), third.number);
    expect(await page.locator(".step-now h2").textContent()).toContain(third.says);
    await page.keyboard.press("Escape");
    await page.waitForFunction(() => !location.search.includes("step="));
  });

  it("is let go when the cursor leaves it", async () => {
    const { page } = await service.open(`${demo_search}&at=40:00&step=6`);
    await drawn(page);
    await slider(page).focus();
    await page.keyboard.press("End");
    await page.waitForFunction(() => !location.search.includes("step="));
  });

  it("named by a finding is a click away", async () => {
    const plan = await service.document<PlanDocument>("/v1/plan", demo);
    const finding = plan.findings.find((one) => one.step !== undefined)!;
    const { page } = await service.open(demo_search);
    await drawn(page);
    await page.getByRole("button", { name: `step ${finding.step}`, exact: true }).first().click();
    await page.locator(`.step-now [data-step="${finding.step}"]`).waitFor();
  });
});
