// A track for the debriefing: a flight of the rehearsal, as a recorder would have written it.
import type { CardDocument, ReplayDocument } from "../src/api/generated";
import { demo, rehearsal } from "./demo";

/** CSV as docs/track-file.md has it, from noon. */
export const csv_of = (replay: ReplayDocument): string =>
  [
    "time_of_day_s,latitude_deg,longitude_deg,altitude_ft",
    ...replay.samples.map((sample) => [43200 + sample.flown_s, sample.latitude_deg, sample.longitude_deg, sample.altitude_msl_ft].join(",")),
    "",
  ].join("\n");

async function ask<Document>(address: string, path: string, body: unknown): Promise<Document> {
  const answer = await fetch(address + path, { method: "POST", body: JSON.stringify(body), headers: { "content-type": "application/json" } });
  return (await answer.json()) as Document;
}

/** The flight that the stand-in has kept too: it is lost on the way, so that not every step is flown. */
export const lost_flight = 47;

export async function flown_track(address: string): Promise<{ name: string; mimeType: string; buffer: Buffer; text: string }> {
  const { flights: _, ...question } = rehearsal;
  const card = await ask<CardDocument>(address, "/v1/card", demo);
  const text = csv_of(await ask<ReplayDocument>(address, "/v1/replay", { ...question, card, example: lost_flight }));
  return { name: "flown.csv", mimeType: "text/csv", buffer: Buffer.from(text), text };
}
