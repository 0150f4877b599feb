import { useEffect, useId, useRef } from "preact/hooks";
import type { JudgeDocument, NextAirway, NextDocument, NextProcedure } from "../api/generated";
import type { Problem } from "../api/service";
import { Finding } from "../plan/findings";
import { along, approach_word, by_approach, by_arrival, by_departure } from "./choices";
import { type Said, said_by_part } from "./found_here";
import { ident_of } from "./hand_route";
import type { Build } from "./use_build";

interface Props {
  readonly build: Build;
  readonly judged: JudgeDocument | null;
  readonly problem: Problem | null;
  readonly busy: boolean;
  readonly pick: (step: number) => void;
  readonly leave: () => void;
}

const weighs = (said: Said) => said.grade !== "notes";

/** What was found at a word: what weighs at once, notes on request. */
function SaidHere(props: { said: readonly Said[]; pick: (step: number) => void }) {
  const { said, pick } = props;
  const notes = said.filter((one) => !weighs(one));
  return (
    <>
      <ul>
        {said.filter(weighs).map((one) => (
          <Finding finding={one} pick={pick} />
        ))}
      </ul>
      {notes.length > 0 && (
        <details>
          <summary>{notes.length === 1 ? "1 note" : `${notes.length} notes`}</summary>
          <ul>
            {notes.map((one) => (
              <Finding finding={one} pick={pick} />
            ))}
          </ul>
        </details>
      )}
    </>
  );
}

/** The words of the route in order, each with what was found at it. */
function Words(props: { build: Build; said: Map<number | null, Said[]>; pick: (step: number) => void }) {
  const { build, said, pick } = props;
  const { route } = build;
  const at = (part: number) => <SaidHere said={said.get(part) ?? []} pick={pick} />;
  const worst = (part: number) => (said.get(part) ?? []).find(weighs)?.grade ?? "";
  return (
    <ol class="words" aria-label="Words of the route">
      <li class={worst(-1)}>
        <button type="button" class="word-button" aria-pressed={build.chosen === -1} onClick={() => build.choose(-1, "after")}>
          <b>{route.from}</b> {route.begins.join(" ")}
        </button>
        {at(-1)}
      </li>
      {route.legs.map((leg, index) => (
        <li class={worst(index)}>
          <button type="button" class="word-button" aria-pressed={build.chosen === index} onClick={() => build.choose(index, build.side)}>
            {leg.via} <b>{leg.to}</b>
          </button>
          <button type="button" class="take-out" aria-label={`Take out ${leg.to}`} onClick={() => build.remove(index)}>
            take out
          </button>
          {at(index)}
        </li>
      ))}
      <li class={worst(route.legs.length)}>
        <span class="word-fixed">
          {route.star} <b>{route.to}</b>
          {build.approach && ` by ${build.approach}`}
        </span>
        {route.star && (
          <button type="button" class="take-out" onClick={() => build.put({ legs: [], star: "" })}>
            no STAR
          </button>
        )}
        {build.approach && (
          <button type="button" class="take-out" onClick={() => build.ask({ approach: "" })}>
            any approach
          </button>
        )}
        {at(route.legs.length)}
      </li>
    </ol>
  );
}

function PlaceOfNext(props: { build: Build }) {
  const { build } = props;
  const name = useId();
  const leg = build.route.legs[build.chosen];
  if (!leg) return null;
  return (
    <fieldset class="switch">
      <legend>Put the next word</legend>
      {(["before", "after"] as const).map((side) => (
        <label>
          <input type="radio" name={name} checked={build.side === side} onChange={() => build.choose(build.chosen, side)} />
          <span>
            {side} {ident_of(leg.to)}
          </span>
        </label>
      ))}
    </fieldset>
  );
}

const feet = (altitude_ft: number | null) => (altitude_ft === null ? "no minimum" : `${altitude_ft.toLocaleString("en")} ft`);
const shown_at_once = 4;

function AirwayLine(props: { airway: NextAirway; put: Build["put"] }) {
  const { airway, put } = props;
  const button = (point: NextAirway["points"][number]) => (
    <button type="button" class={point.against_one_way ? "against" : ""} aria-label={`${airway.designator} to ${point.ident}`} onClick={() => put(along(airway, point))}>
      <b>{point.ident}</b> {point.distance_nm.toFixed(0)} NM, {feet(point.minimum_msl_ft)}
      {point.against_one_way && ", one way the other way"}
    </button>
  );
  return (
    <li>
      <span class="way">
        <b>{airway.designator}</b> {airway.course_deg !== null && `${String(Math.round(airway.course_deg) % 360 || 360).padStart(3, "0")}°`}
      </span>
      <span class="choices">
        {airway.points.slice(0, shown_at_once).map(button)}
        {airway.points.length > shown_at_once && (
          <details>
            <summary>{airway.points.length - shown_at_once} further on</summary>
            {airway.points.slice(shown_at_once).map(button)}
          </details>
        )}
      </span>
    </li>
  );
}

function Airways(props: { airways: readonly NextAirway[]; put: Build["put"] }) {
  const { airways, put } = props;
  if (airways.length === 0) return null;
  const lines = (some: readonly NextAirway[]) => (
    <ul class="airways">
      {some.map((airway) => (
        <AirwayLine airway={airway} put={put} />
      ))}
    </ul>
  );
  const area = airways.filter((airway) => airway.area_navigation_only);
  return (
    <section>
      <h3>Airways</h3>
      {lines(airways.filter((airway) => !airway.area_navigation_only))}
      {area.length > 0 && (
        <details>
          <summary>{area.length} by area navigation only</summary>
          {lines(area)}
        </details>
      )}
    </section>
  );
}

function ProcedureButton(props: { procedure: NextProcedure; at: string; asked: boolean; act: () => void }) {
  const { procedure, at, asked, act } = props;
  return (
    <button type="button" aria-pressed={asked} onClick={act}>
      <b>{procedure.name}</b> {procedure.fix === at ? "begins here" : `at ${procedure.fix}`}
    </button>
  );
}

function Procedures(props: { title: string; procedures: readonly NextProcedure[]; at: string; is_asked: (procedure: NextProcedure) => boolean; act: (procedure: NextProcedure) => void }) {
  const { title, procedures, at, is_asked, act } = props;
  const can = procedures.filter((one) => one.why_not === "");
  const cannot = procedures.filter((one) => one.why_not !== "");
  if (procedures.length === 0) return null;
  const here = can.filter((one) => one.fix === at);
  const elsewhere = can.filter((one) => one.fix !== at);
  return (
    <section>
      <h3>{title}</h3>
      <div class="choices">
        {[...here, ...elsewhere].map((one) => (
          <ProcedureButton procedure={one} at={at} asked={is_asked(one)} act={() => act(one)} />
        ))}
      </div>
      {cannot.length > 0 && (
        <details>
          <summary>{cannot.length} cannot be flown</summary>
          <ul>
            {cannot.map((one) => (
              <li>
                <b>{one.name}</b> {one.why_not}
              </li>
            ))}
          </ul>
        </details>
      )}
    </section>
  );
}

/** All that can be chosen where the next word goes: what a click on the chart does can be done here by keys. */
function NextWords(props: { build: Build; next: NextDocument }) {
  const { build, next } = props;
  const at = build.behind;
  const is_last = build.chosen === build.route.legs.length - 1 && build.side === "after";
  return (
    <>
      <Procedures title="SIDs" procedures={next.departures} at={at} is_asked={() => false} act={(one) => build.put(by_departure(one))} />
      <Airways airways={next.airways} put={build.put} />
      {is_last && (
        <>
          <Procedures title="STARs" procedures={next.arrivals} at={at} is_asked={(one) => one.ident === build.route.star && one.fix === at} act={(one) => build.put(by_arrival(one, at))} />
          <Procedures title="Approaches" procedures={next.approaches} at={at} is_asked={(one) => build.approach === approach_word(one) || build.approach === one.name} act={(one) => build.put(by_approach(one, at))} />
        </>
      )}
    </>
  );
}

/** Undo and redo by the keys that every editor has, but not while something is typed. */
function useUndoKeys(build: Build): void {
  const now = useRef(build);
  now.current = build;
  useEffect(() => {
    const on_key = (event: KeyboardEvent) => {
      if (!(event.ctrlKey || event.metaKey) || event.target instanceof HTMLInputElement) return;
      const key = event.key.toLowerCase();
      if (key === "z" && !event.shiftKey) now.current.undo();
      else if (key === "y" || key === "z") now.current.redo();
      else return;
      event.preventDefault();
    };
    addEventListener("keydown", on_key);
    return () => removeEventListener("keydown", on_key);
  }, []);
}

/** A route that is built by hand: its words with what the judge says of each, and what may come next. */
export function BuildView(props: Props) {
  const { build, judged, problem, busy, pick, leave } = props;
  const said = said_by_part(build.route, judged, problem);
  const whole = said.get(null) ?? [];
  const field = useRef<HTMLInputElement>(null);
  useUndoKeys(build);
  const on_submit = (event: SubmitEvent) => {
    event.preventDefault();
    const to = field.current?.value.trim().toUpperCase() ?? "";
    if (to === "") return;
    build.put({ legs: [{ via: "DCT", to }] });
    field.current!.value = "";
  };
  return (
    <section class="build" aria-label="Route by hand">
      <header>
        <h2>Route by hand</h2>
        <div class="buttons">
          <button type="button" disabled={!build.can_undo} onClick={build.undo}>
            Undo
          </button>
          <button type="button" disabled={!build.can_redo} onClick={build.redo}>
            Redo
          </button>
          <button type="button" onClick={leave}>
            Planned flight
          </button>
        </div>
      </header>
      <label class="field">
        <span>Cruise, ft; empty: the lowest that does</span>
        <input
          key={build.altitude_ft}
          name="level"
          type="number"
          min={500}
          max={60000}
          step={100}
          defaultValue={build.altitude_ft === null ? "" : String(build.altitude_ft)}
          onChange={(event) => build.ask({ altitude_ft: event.currentTarget.value === "" ? null : Number(event.currentTarget.value) })}
        />
      </label>
      <Words build={build} said={said} pick={pick} />
      {whole.length > 0 && <SaidHere said={whole} pick={pick} />}
      <div class="next" aria-busy={busy}>
        <h3>{build.behind ? `Behind ${build.behind}` : `From ${build.route.from}`}</h3>
        <PlaceOfNext build={build} />
        <form class="any-point" onSubmit={on_submit}>
          <label class="field">
            <span>Direct to an aid, a fix, or a place such as XKE180040</span>
            <input ref={field} name="point" size={12} maxLength={16} autoComplete="off" spellcheck={false} />
          </label>
          <button type="submit">Put in</button>
        </form>
        {build.next && <NextWords build={build} next={build.next} />}
      </div>
    </section>
  );
}
