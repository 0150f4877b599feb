// Takes the pictures that a person looks at: `npm run screenshots`, into screenshots/.
import { mkdirSync } from "node:fs";
import { by_hand, by_hand_search, demo_search, find_search } from "./demo";
import { browser, drawn, faults_of } from "./browser";
import { flown_track } from "./flown_track";
import { mock_service } from "./mock_service";

const folder = new URL("../screenshots/", import.meta.url).pathname;
mkdirSync(folder, { recursive: true });
const only = process.argv[2] ?? "";
const finer = Number(process.argv[3] ?? 1);
const chromium = await browser();
const service = process.env["OMNIWAY_SERVICE"] ?? "";
const mock = service === "" ? await mock_service() : null;
const address = mock?.address ?? service;

const pictures: ReadonlyArray<readonly [name: string, width: number, height: number, search: string]> = [
  ["plan-1440", 1440, 900, `${demo_search}&at=37:18`],
  ["plan-1024", 1024, 768, `${demo_search}&at=37:18`],
  ["plan-768", 768, 1024, `${demo_search}&at=37:18`],
  ["plan-time-night-1440", 1440, 900, `${demo_search}&at=1:31:00&axis=time&step=11&night`],
  ["rehearse-1440", 1440, 900, `${demo_search}&view=rehearse&flights=400&errors=wind_kt:30,vor_station_deg:3`],
  ["replay-1440", 1440, 900, `${demo_search}&at=25:00&view=rehearse&flights=400&errors=wind_kt:30,vor_station_deg:3&replay=2`],
  ["replay-1024", 1024, 768, `${demo_search}&at=25:00&view=rehearse&flights=400&errors=wind_kt:30,vor_station_deg:3&replay=2`],
  ["replay-night-768", 768, 1024, `${demo_search}&at=25:00&view=rehearse&flights=400&errors=wind_kt:30,vor_station_deg:3&replay=2&night`],
  ["find-1440", 1440, 900, `${demo_search}${find_search}`],
  ["find-1024", 1024, 768, `${demo_search}${find_search}`],
  ["find-768", 768, 1024, `${demo_search}${find_search}`],
  ["find-night-768", 768, 1024, `${demo_search}&view=find&reading=vor:XTE:264&reading=vor-to:XHU:237&height=9000&on-card&night`],
  ["find-last-1440", 1440, 900, `${demo_search}&view=find&reading=vor:XHU:057&height=9000&heading=090&airspeed=140&fuel=300&last=XTE@25&last-within=3`],
  ["debrief-1440", 1440, 900, `${demo_search}&view=debrief`],
  ["debrief-1024", 1024, 768, `${demo_search}&view=debrief`],
  ["debrief-night-768", 768, 1024, `${demo_search}&view=debrief&night`],
  ["by-hand-1440", 1440, 900, by_hand_search(by_hand.on_airway)],
  ["by-hand-768", 768, 1024, by_hand_search(by_hand.on_airway)],
  ["by-hand-night-1024", 1024, 768, `${by_hand_search(by_hand.whole)}&night`],
  ["compare-1024", 1024, 768, `${demo_search}&choices=3`],
  ["area-1440", 1440, 900, `${demo_search}&at=40:18&step=6`],
  ["layers-1440", 1440, 900, `${demo_search}&at=37:18&terrain&heard=coverage&heard-at=5000`],
  ["layers-night-768", 768, 1024, `${demo_search}&at=37:18&terrain&heard=fix-accuracy&night`],
  ["card-768", 768, 1024, `${demo_search}&view=card&step=6`],
  ["card-over-768", 768, 1024, `${demo_search}&view=card&step=7&over=5@1795601730,6@1795602800`],
  ["card-night-1024", 1024, 768, `${demo_search}&view=card&step=12&night`],
];
for (const [name, width, height, search] of pictures) {
  if (!name.includes(only)) continue;
  const page = await chromium.newPage({ viewport: { width, height }, deviceScaleFactor: finer });
  const faults = faults_of(page);
  await page.goto(address + "/" + search);
  if (search.includes("view=card")) await page.waitForSelector(".card-view .step-text");
  else if (search.includes("view=find")) await page.waitForSelector(".told-place .places li");
  else if (search.includes("route=")) await page.locator(".airways li").first().waitFor();
  else await drawn(page).catch((fault: unknown) => faults.push(String(fault)));
  if (search.includes("view=debrief")) await page.getByLabel("Flown track").setInputFiles(await flown_track(address));
  if (search.includes("view=rehearse") || search.includes("view=debrief")) await page.waitForSelector(".by-step");
  if (search.includes("replay=")) await page.waitForSelector(".replay-bar");
  if (!search.includes("view=card")) await page.waitForFunction(() => performance.getEntriesByName("omniway-drawn").length > 0);
  await page.waitForLoadState("networkidle");
  await page.screenshot({ path: `${folder}${name}.png`, fullPage: true });
  for (const fault of faults) console.log(`${name}: ${fault}`);
  await page.close();
}
await chromium.close();
await mock?.close();
