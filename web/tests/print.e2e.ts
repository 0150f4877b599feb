// What comes out of the printer, as the PDF of it: read by poppler (pdftotext, pdftoppm), which shares nothing with the browser that made it.
import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Page } from "playwright-core";
import { describe, expect, it } from "vitest";
import type { CardDocument, FindDocument, PlanDocument } from "../src/api/generated";
import { drawn } from "./browser";
import { by_hand, by_hand_search, demo, demo_search, find_search, find_words, rehearsal_search } from "./demo";
import { flown_track } from "./flown_track";
import { served } from "./served";

const service = served();

interface Word {
  readonly text: string;
  readonly left: number;
  readonly right: number;
  readonly bottom: number;
}

interface Sheet {
  readonly width: number;
  readonly height: number;
  readonly words: readonly Word[];
  /** In the order in which it is drawn, with single blanks. */
  readonly text: string;
  /** Of its dots, from black to white: 0 to 1; and how far the most coloured one is from grey. */
  readonly mean_light: number;
  readonly most_colour: number;
}

const points_a_mm = 72 / 25.4;

interface Dots {
  readonly mean_light: number;
  readonly most_colour: number;
}

function dots_of(pdf: string): Dots[] {
  const ppm = execFileSync("pdftoppm", ["-r", "20", pdf], { maxBuffer: 1 << 26 });
  const found: Dots[] = [];
  for (let at = 0; at < ppm.length; ) {
    const [head = "", width = "0", height = "0"] = /^P6\s+(\d+)\s+(\d+)\s+255\s/.exec(ppm.toString("latin1", at, at + 40)) ?? [];
    const dots = ppm.subarray(at + head.length, at + head.length + 3 * Number(width) * Number(height));
    let [sum, most_colour] = [0, 0];
    for (let dot = 0; dot < dots.length; dot += 3) {
      const colours = [dots[dot]!, dots[dot + 1]!, dots[dot + 2]!];
      sum += colours[1]!;
      most_colour = Math.max(most_colour, Math.max(...colours) - Math.min(...colours));
    }
    found.push({ mean_light: (sum * 3) / dots.length / 255, most_colour: most_colour / 255 });
    at += head.length + dots.length;
  }
  return found;
}

async function printed(page: Page, format: "A4" | "Letter"): Promise<Sheet[]> {
  const folder = mkdtempSync(join(tmpdir(), "omniway-print-"));
  const pdf = join(folder, "page.pdf");
  try {
    writeFileSync(pdf, await page.pdf({ format }));
    const text = (...how: string[]) => execFileSync("pdftotext", [...how, pdf, "-"], { encoding: "utf8" });
    const raw = text("-raw").split("\f");
    const dots = dots_of(pdf);
    return text("-bbox")
      .split("<page ")
      .slice(1)
      .map((of, index) => ({
        width: Number(/width="([\d.]+)"/.exec(of)![1]),
        height: Number(/height="([\d.]+)"/.exec(of)![1]),
        words: [...of.matchAll(/<word xMin="([-\d.]+)" yMin="[-\d.]+" xMax="([-\d.]+)" yMax="([-\d.]+)">([^<]*)</g)].map(([, left, right, bottom, word]) => ({
          text: word!,
          left: Number(left),
          right: Number(right),
          bottom: Number(bottom),
        })),
        text: raw[index]!.replaceAll(/\s+/g, " "),
        ...dots[index]!,
      }));
  } finally {
    rmSync(folder, { recursive: true });
  }
}

const sizes = { A4: [210, 297], Letter: [215.9, 279.4] } as const;

/** What holds of whatever is printed. */
function expect_sheets(sheets: readonly Sheet[], format: "A4" | "Letter", caution: string): void {
  const [width, height] = sizes[format];
  for (const sheet of sheets) {
    expect(Math.abs(sheet.width / points_a_mm - width)).toBeLessThan(1);
    expect(Math.abs(sheet.height / points_a_mm - height)).toBeLessThan(1);
    // Not for real-world navigation, and of which flight, on every sheet.
    expect(sheet.text).toContain(caution);
    for (const word of ["XDOV XANDOVEL to XMRA XAMARRA CAPITAL", "Tesserin 8", "wind 270/20", demo.date]) expect(sheet.text).toContain(word);
    // Nothing is cut: every word lies between the margins of 12 mm, the number of the sheet apart below them.
    for (const word of sheet.words) {
      expect(word.left / points_a_mm, word.text).toBeGreaterThan(11.5);
      expect(word.right / points_a_mm, word.text).toBeLessThan(width - 11.5);
      expect(word.bottom / points_a_mm, word.text).toBeLessThan(height - 3);
    }
    // Black on white: a sheet of text has more paper than ink.
    expect(sheet.mean_light).toBeGreaterThan(0.8);
    expect(sheet.most_colour).toBeLessThan(0.02);
    // Nothing that only a screen is for.
    for (const word of ["Find on the chart", "Change this flight", "Along by", "reception off", "keep this card", "Night"]) expect(sheet.text).not.toContain(word);
  }
}

const all_of = (sheets: readonly Sheet[]) => sheets.map((sheet) => sheet.text).join(" ");

async function card_and_caution() {
  const card = await service.document<CardDocument>("/v1/card", demo);
  const plan = await service.document<PlanDocument>("/v1/plan", demo);
  return { card, plan, caution: plan.caution, steps: [...card.card.steps, ...card.card.missed] };
}

describe.each(["A4", "Letter"] as const)("on %s", (format) => {
  it("the flight has its ribbon as wide as the sheet, its chart, every step in one piece and every finding, black on white by night too", async () => {
    const { steps, plan, caution } = await card_and_caution();
    const { page, faults } = await service.open(`${demo_search}&night&seen=20-60.5`);
    await drawn(page);
    const sheets = await printed(page, format);
    expect_sheets(sheets, format, caution);
    const first = sheets[0]!;
    for (const says of [plan.flight!.route, "Steps", "NAV1", "Heights", "Wind", "Bars: where a station is heard"]) expect(first.text).toContain(says);
    // The whole flight, though a part is seen on the screen: its axis from the first mile to the last hundred.
    const axis = first.words.filter((word) => /^(0|50|100|150|200)$/.test(word.text)).map((word) => word.text);
    for (const mile of ["0", "100", "200"]) expect(axis).toContain(mile);
    expect(Math.max(...first.words.map((word) => word.right)) / points_a_mm).toBeGreaterThan(sizes[format][0] - 25);
    expect(all_of(sheets)).toContain("protected area");
    for (const step of steps) {
      const row = `${step.guidance.says} until ${step.end.says}`.replaceAll(/\s+/g, " ");
      expect(sheets.filter((sheet) => sheet.text.includes(row)).length, `step ${step.number}: ${row}`).toBeGreaterThanOrEqual(1);
    }
    for (const finding of plan.findings) expect(all_of(sheets)).toContain(finding.text);
    // The page is as it was.
    expect(await page.locator(".paper, .paper-frame").count()).toBe(0);
    expect(new URL(page.url()).search).toBe(`${demo_search}&seen=20-60.5&night`);
    expect(faults).toEqual([]);
  });

  it("the card has each step whole", async () => {
    const { steps, caution } = await card_and_caution();
    const { page } = await service.open(`${demo_search}&view=card&step=6`);
    await page.locator(".card-view .step-text").waitFor();
    const sheets = await printed(page, format);
    expect_sheets(sheets, format, caution);
    for (const step of steps) {
      const begins = `${step.number} ${step.guidance.says} until ${step.end.says} height ${step.heights.says} radios`;
      expect(sheets.filter((sheet) => sheet.text.includes(begins)).length, begins).toBe(1);
      for (const work of step.work) expect(all_of(sheets)).toContain(work.says);
    }
  });

  it("the rehearsal has its outcome, all weak points and every step, with the flight that is flown again", async () => {
    const { caution } = await card_and_caution();
    const { page } = await service.open(`${demo_search}${rehearsal_search}&replay=47`);
    await page.locator(".by-step").waitFor();
    await page.locator(".replay-bar").waitFor();
    const sheets = await printed(page, format);
    expect_sheets(sheets, format, caution);
    for (const says of ["ended as meant", "Aside", "Needle", "Weak points", "By step", "missed approach"]) expect(all_of(sheets)).toContain(says);
    for (const says of await page.locator(".weak-point > span").allTextContents()) expect(all_of(sheets)).toContain(says);
  });

  it("the debriefing has what to practise and every step", async () => {
    const { caution } = await card_and_caution();
    const { page } = await service.open(`${demo_search}&view=debrief`);
    await drawn(page);
    await page.getByLabel("Flown track").setInputFiles(await flown_track(service.address));
    await page.locator(".by-step").waitFor();
    const sheets = await printed(page, format);
    expect_sheets(sheets, format, caution);
    for (const says of ["To practise", "Aside", "By step", "not flown"]) expect(all_of(sheets)).toContain(says);
  });

  it("the place that is looked for has what was read, the chart and what to do", async () => {
    const { caution } = await card_and_caution();
    const found = await service.document<FindDocument>("/v1/find", { words: find_words, date: demo.date });
    const { page } = await service.open(demo_search + find_search);
    await page.locator(".places li").first().waitFor();
    await page.waitForFunction(() => performance.getEntriesByName("omniway-drawn").length > 0);
    const sheets = await printed(page, format);
    expect_sheets(sheets, format, caution);
    for (const says of ["Where am I", "9000 ft", "DME distance XTE 16 NM", "with 95 %", "Tune next", found.next[0]!.says]) expect(all_of(sheets)).toContain(says);
    expect(all_of(sheets)).not.toContain("drop");
  });
});

it("a route that is built by hand is printed with what is found about it", async () => {
  const { page } = await service.open(by_hand_search(by_hand.whole));
  await page.locator(".ribbon svg").first().waitFor();
  await page.locator(".panel").waitFor();
  const sheets = await printed(page, "A4");
  const judged = await service.document<{ findings: Array<{ text: string }> }>("/v1/judge", { ...demo, route: by_hand.whole });
  for (const finding of judged.findings) expect(all_of(sheets)).toContain(finding.text);
  expect(all_of(sheets)).toContain("Not for real-world navigation");
});
