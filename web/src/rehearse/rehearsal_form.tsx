import { useState } from "preact/hooks";
import type { RehearseDocument } from "../api/generated";
import { as_usual, type ErrorsAsked, type RehearsalAsked } from "./rehearsal_asked";

type ErrorName = keyof RehearseDocument["errors"];

/** What errs, by its name in an errors file, in words and with its unit. */
const what_errs: ReadonlyArray<readonly [name: ErrorName, says: string]> = [
  ["wind_kt", "wind, kt"],
  ["wind_for_min", "wind stays so, min"],
  ["gusts_kt", "gusts, kt"],
  ["vor_station_deg", "VOR, degrees"],
  ["vor_receiver_deg", "VOR receiver, degrees"],
  ["ndb_station_deg", "NDB, degrees"],
  ["adf_deg", "ADF, degrees"],
  ["localizer_deg", "localizer, degrees"],
  ["dme_fixed_nm", "DME, NM"],
  ["dme_share", "DME, share"],
  ["wander_deg", "needle let stand, degrees"],
  ["wander_for_s", "stands so, s"],
  ["heading_drift_in_an_hour_deg", "heading drift, degrees/h"],
  ["compass_deg", "compass, degrees"],
  ["altimeter_ft", "altimeter, ft"],
  ["airspeed_share", "airspeed, share"],
];

function figures_say(own: Readonly<Record<string, number>>): string {
  const says = what_errs.filter(([name]) => own[name]).map(([name, says]) => `${says} ${own[name]}`);
  return says.length > 0 ? `: ${says.join("; ")}` : "";
}

function errors_of_form(form: FormData, kind: string): ErrorsAsked {
  if (kind !== "own") return kind as "nominal" | "none";
  const figures = what_errs.map(([name]) => [name, Number(form.get(name) ?? "")] as const);
  return Object.fromEntries(figures.filter(([, value]) => value > 0));
}

function asked_of_form(form: FormData, kind: string): RehearsalAsked {
  const number = (name: string, otherwise: number) => (form.get(name) ? Number(form.get(name)) : otherwise);
  return {
    flights: number("flights", as_usual.flights),
    seed: number("seed", as_usual.seed),
    errors: errors_of_form(form, kind),
    fail: String(form.get("fail") ?? "")
      .split(/[\s,]+/)
      .filter((one) => one !== ""),
    no_runway: form.has("no_runway"),
  };
}

interface Props {
  readonly asked: RehearsalAsked;
  /** The figures that errors of one's own begin with: those of the last rehearsal. */
  readonly drawn: RehearseDocument["errors"] | null;
  readonly ready: boolean;
  readonly run: (asked: RehearsalAsked) => void;
}

export function RehearsalForm(props: Props) {
  const { asked, drawn, ready, run } = props;
  const [kind, set_kind] = useState(typeof asked.errors === "string" ? asked.errors : "own");
  const own: Readonly<Record<string, number>> = typeof asked.errors === "string" ? (drawn ?? {}) : asked.errors;
  return (
    <form
      class="rehearsal-form"
      aria-label="Rehearse"
      onSubmit={(event) => {
        event.preventDefault();
        run(asked_of_form(new FormData(event.currentTarget), kind));
      }}
    >
      <label class="field">
        <span>Flights</span>
        <input name="flights" type="number" min={1} max={1000000} required defaultValue={String(asked.flights)} />
      </label>
      <label class="field">
        <span>Errors</span>
        <select value={kind} onChange={(event) => set_kind(event.currentTarget.value as typeof kind)}>
          <option value="nominal">as the criteria allow</option>
          <option value="none">none</option>
          <option value="own">my own</option>
        </select>
      </label>
      <label class="field">
        <span>Fails</span>
        <input name="fail" size={14} defaultValue={asked.fail.join(" ")} placeholder="XRG@6 DME@30min" autoComplete="off" spellcheck={false} />
      </label>
      <label class="field">
        <span>Seed</span>
        <input name="seed" type="number" min={0} defaultValue={String(asked.seed)} />
      </label>
      <label class="tick-box">
        <input type="checkbox" name="no_runway" defaultChecked={asked.no_runway} />
        <span>runway never in sight</span>
      </label>
      <button type="submit" class="main" disabled={!ready}>
        Fly them
      </button>
      {kind === "own" && (
        <details class="own-errors" open={typeof asked.errors === "string"}>
          <summary>One standard deviation each; what is left empty is without error{figures_say(own)}</summary>
          <div>
            {what_errs.map(([name, says]) => (
              <label class="field">
                <span>{says}</span>
                <input name={name} type="number" min={0} step="any" defaultValue={own[name] ? String(own[name]) : ""} />
              </label>
            ))}
          </div>
        </details>
      )}
    </form>
  );
}
