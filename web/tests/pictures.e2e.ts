// The whole page as it looks, against small pictures of it that were looked at and kept: shapes, places and tones, not the letters, whose
// fonts are the machine's. OMNIWAY_KEEP_PICTURES=1 takes them anew: look at them (npm run screenshots) before they are committed.
import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import type { Page } from "playwright-core";
import { describe, expect, it } from "vitest";
import { drawn } from "./browser";
import { by_hand, by_hand_search, demo_search, find_search } from "./demo";
import { served } from "./served";

const service = served();
const kept = fileURLToPath(new URL("./pictures/", import.meta.url));
const got = fileURLToPath(new URL("../screenshots/", import.meta.url));
const smaller_by = 6;
// Of 255 levels of grey, in the mean over the picture; and how much of it may be quite different: a letter's width here or there.
const most_mean = 2.5;
const quite_different = 48;
const most_different_share = 0.015;

const of_card = (page: Page) => page.waitForSelector(".card-step");
const pictures = [
  { name: "plan-1440", width: 1440, height: 900, search: `${demo_search}&at=37:18`, ready: drawn },
  { name: "plan-1024", width: 1024, height: 768, search: `${demo_search}&at=37:18`, ready: drawn },
  { name: "plan-768", width: 768, height: 1024, search: `${demo_search}&at=37:18`, ready: drawn },
  { name: "plan-night-1440", width: 1440, height: 900, search: `${demo_search}&at=1:31:00&axis=time&step=11&night`, ready: drawn },
  { name: "layers-1440", width: 1440, height: 1200, search: `${demo_search}&terrain&heard=coverage&heard-at=6000`, ready: async (page: Page) => (await drawn(page), page.getByText("heard at 6000 ft").waitFor()) },
  { name: "by-hand-1024", width: 1024, height: 768, search: by_hand_search(by_hand.on_airway), ready: (page: Page) => page.locator(".airways li").first().waitFor() },
  { name: "find-768", width: 768, height: 1024, search: demo_search + find_search, ready: (page: Page) => page.waitForSelector(".told-place .places li") },
  { name: "card-768", width: 768, height: 1024, search: `${demo_search}&view=card&step=6`, ready: of_card },
  { name: "card-night-768", width: 768, height: 1024, search: `${demo_search}&view=card&step=6&night`, ready: of_card },
];

interface Difference {
  /** Of the smaller picture, as a data address. */
  readonly seen: string;
  readonly mean: number;
  readonly share: number;
}

/** Made in the browser, which can read and scale pictures: each in grey, `by` times smaller. */
function difference(page: Page, seen: Buffer, was: Buffer | null): Promise<Difference> {
  return page.evaluate(
    async ([seen, was, by, quite]) => {
      const small = async (png: string, shrink: number) => {
        const picture = await createImageBitmap(await (await fetch(png)).blob());
        const canvas = document.createElement("canvas");
        [canvas.width, canvas.height] = [Math.round(picture.width / shrink), Math.round(picture.height / shrink)];
        const paper = canvas.getContext("2d")!;
        paper.imageSmoothingQuality = "high";
        paper.filter = "grayscale(1)";
        paper.drawImage(picture, 0, 0, canvas.width, canvas.height);
        return { canvas, grey: paper.getImageData(0, 0, canvas.width, canvas.height).data.filter((_, index) => index % 4 === 0) };
      };
      const now = await small(seen, by);
      const told = { seen: now.canvas.toDataURL("image/png"), mean: 255, share: 1 };
      if (!was) return told;
      const before = await small(was, 1);
      if (before.canvas.width !== now.canvas.width || before.canvas.height !== now.canvas.height) return told;
      const apart = Array.from(now.grey, (level, index) => Math.abs(level - before.grey[index]!));
      return { ...told, mean: apart.reduce((sum, one) => sum + one, 0) / apart.length, share: apart.filter((one) => one > quite).length / apart.length };
    },
    [`data:image/png;base64,${seen.toString("base64")}`, was && `data:image/png;base64,${was.toString("base64")}`, smaller_by, quite_different] as const,
  );
}

// Of the program itself: the stand-in answers with what it has, wherever one looks.
describe.skipIf(!process.env["OMNIWAY_SERVICE"])("looks as it was looked at", () => {
  it.each(pictures)("$name", async ({ name, width, height, search, ready }) => {
    const { page } = await service.open(search, { viewport: { width, height }, reducedMotion: "reduce" });
    await ready(page);
    await page.waitForLoadState("networkidle");
    const picture = await page.screenshot();
    const file = `${kept}${name}.png`;
    // In a page of its own: that of the service lets nothing be fetched that is not its own.
    const desk = await page.context().newPage();
    const found = await difference(desk, picture, existsSync(file) ? readFileSync(file) : null);
    const bytes = Buffer.from(found.seen.split(",")[1]!, "base64");
    if (process.env["OMNIWAY_KEEP_PICTURES"]) {
      mkdirSync(kept, { recursive: true });
      writeFileSync(file, bytes);
      return;
    }
    if (found.mean > most_mean || found.share > most_different_share) {
      mkdirSync(got, { recursive: true });
      writeFileSync(`${got}${name}-seen.png`, picture);
    }
    expect(found.mean, `${name}: grey levels apart in the mean; as it is now: screenshots/${name}-seen.png`).toBeLessThanOrEqual(most_mean);
    expect(found.share, `${name}: share that is quite different; as it is now: screenshots/${name}-seen.png`).toBeLessThanOrEqual(most_different_share);
  });
});
