import AxeBuilder from "@axe-core/playwright";
import { describe, expect, it } from "vitest";
import type { RasterDocument } from "../src/api/generated";
import { drawn } from "./browser";
import { demo_search } from "./demo";
import { served } from "./served";

const service = served();

/** How many inks stand on the chart: a picture with a layer has many more than one of lines on paper. */
const bright_of = (page: import("playwright-core").Page) =>
  page.evaluate(() => {
    let sum = 0;
    let number = 0;
    for (const canvas of document.querySelectorAll<HTMLCanvasElement>(".chart-box canvas")) {
      const { width, height } = canvas;
      const data = canvas.getContext("2d")!.getImageData(0, 0, width, height).data;
      for (let at = 0; at < data.length; at += 4 * 97) {
        sum += data[at + 3]! === 0 ? 0 : 255 - data[at]!;
        ++number;
      }
    }
    return sum / number;
  });

describe("layers of the chart", () => {
  it("are put on by keyboard, and stand in the address bar with their altitude", async () => {
    const { page, faults } = await service.open(demo_search);
    await drawn(page);
    await page.getByRole("radio", { name: "stations heard" }).focus();
    const answered = page.waitForResponse((response) => response.url().includes("/v1/coverage?"));
    await page.keyboard.press("Space");
    const raster = (await (await answered).json()) as RasterDocument;
    const legend = page.getByRole("list", { name: /stations heard at \d+ ft/ });
    await legend.waitFor();
    const seen = new Set(raster.rows.flatMap((row) => [...row]));
    const says = await legend.getByRole("listitem").allTextContents();
    expect(says.slice(1)).toEqual(raster.classes.filter((one) => seen.has(one.sign)).map((one) => one.says));
    expect(page.url()).toContain("heard=coverage");
    const other = page.waitForResponse((response) => response.url().includes("altitude_ft=4000"));
    await page.getByRole("spinbutton").fill("4000");
    await page.keyboard.press("Enter");
    await other;
    await page.waitForFunction(() => location.search.includes("heard-at=4000"));
    expect(faults).toEqual([]);
  });

  it("come with the address, in the dark too, and darken the chart where nothing is heard", async () => {
    const { page, faults } = await service.open(demo_search);
    await drawn(page);
    const plain = await bright_of(page);
    await page.goto(`${service.address}/${demo_search}&heard=fix-accuracy&heard-at=5000&terrain`);
    await drawn(page);
    await page.getByRole("list", { name: /best two lines/ }).waitFor();
    await page.getByRole("list", { name: "ground" }).waitFor();
    await page.waitForFunction(() => document.querySelectorAll(".swatch").length > 1);
    expect(await bright_of(page)).toBeGreaterThan(plain + 5);
    const found = await new AxeBuilder({ page }).include(".chart-layers").analyze();
    expect(found.violations.filter((one) => one.impact === "serious" || one.impact === "critical").map((one) => one.id)).toEqual([]);
    expect(faults).toEqual([]);
  });

  it("that cannot be had say why, and leave the chart as it is", async () => {
    const { page } = await service.open_nothing();
    await page.route("**/v1/terrain?*", (route) => route.abort());
    await page.goto(`${service.address}/${demo_search}&terrain`);
    await drawn(page);
    expect(await page.getByRole("alert").textContent()).toContain("omniway does not answer");
  });
});
