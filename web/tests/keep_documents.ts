// Writes tests/documents anew from the service at OMNIWAY_SERVICE: `npm run documents`. The stand-in answers with them.
import { writeFileSync } from "node:fs";
import { gzipSync } from "node:zlib";
import type { AboutDocument } from "../src/api/pictures";
import type { PlanDocument, RehearseDocument, ReplayDocument } from "../src/api/generated";
import { EventParts } from "../src/api/events";
import { by_hand, demo, find_words, rehearsal } from "./demo";
import { csv_of, lost_flight } from "./flown_track";
import { kept_name } from "./mock_service";

const service = process.env["OMNIWAY_SERVICE"] ?? "";
if (service === "") throw new Error("OMNIWAY_SERVICE names no service");

async function keep(name: string, query: string, body?: unknown, as = name): Promise<unknown> {
  const init = body === undefined ? {} : { method: "POST", body: JSON.stringify(body), headers: { "content-type": "application/json" } };
  const answer = await fetch(`${service}/v1/${name}${query}`, init);
  if (!answer.ok) throw new Error(`${name}: ${answer.status} ${await answer.text()}`);
  const text = await answer.text();
  const streamed = answer.headers.get("content-type") === "text/event-stream";
  const document: unknown = JSON.parse(streamed ? new EventParts().take(text).at(-1)!.data : text);
  writeFileSync(new URL(`documents/${as}.json.gz`, import.meta.url), gzipSync(JSON.stringify(document), { level: 9 }));
  return document;
}

const { chart } = (await keep("about", "")) as AboutDocument;
if (!chart) throw new Error("the service has no chart");
await keep("chart", `?west=${chart.west_deg}&south=${chart.south_deg}&east=${chart.east_deg}&north=${chart.north_deg}`);
await keep("search", "?words=XM&most=12");
const plan = (await keep("plan", "", demo)) as PlanDocument;
for (const choose of [1, 2]) await keep("plan", "", { ...demo, choices: 3, choose }, kept_name("plan", `3 ${choose}`));
const { route, approach, cruise_altitude_msl_ft: altitude_ft } = plan.flight!;
await keep("judge", "", { ...demo, route, approach, altitude_ft });
const card = await keep("card", "", demo);
await keep("ribbon", "", { card });
await keep("panel", "", { card });
await keep("find", "", { words: find_words, date: demo.date });
const { flights: _, ...question } = rehearsal;
const rehearsed = (await keep("rehearse", "", { ...rehearsal, card })) as RehearseDocument;
if (!rehearsed.rehearsal!.examples.some((example) => example.flight === lost_flight)) throw new Error(`flight ${lost_flight} is no example: name one that is lost on the way`);
const replay = (await keep("replay", "", { ...question, card, example: lost_flight })) as ReplayDocument;
await keep("debrief", "", { card, track: csv_of(replay) });
for (const route of [by_hand.begun, by_hand.on_airway, by_hand.whole]) {
  await keep("judge", "", { ...demo, route }, kept_name("judge", route));
  await keep("card", "", { ...demo, route }, kept_name("card", route));
}
const { from, to, aircraft } = demo;
await keep("next", "", { from, to, aircraft });
for (const at of ["XDV", "XKE"]) await keep("next", "", { from, to, aircraft, at }, kept_name("next", at));
for (const ident of ["XKE", "V14", "XMRA", "IXMR"]) await keep("show", `?ident=${ident}`, undefined, kept_name("show", ident));
for (const words of ["XKE", "XKR", "XMRA"]) await keep("search", `?words=${words}&most=12`, undefined, kept_name("search", words));
await keep("groundspeed-check", "", { card });
const area = `?west=${chart.west_deg}&south=${chart.south_deg}&east=${chart.east_deg}&north=${chart.north_deg}&width=96`;
await keep("terrain", area);
await keep("coverage", `${area}&altitude_ft=6000`);
await keep("fix-accuracy", `${area}&altitude_ft=6000`);
