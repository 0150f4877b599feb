import type { RefObject } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import type { ChartStation } from "../api/pictures";
import { type FindAsked, type Kind, type Known, kind_names, kinds, needles, type Reading } from "./reading";

/** A reading that is being typed. */
export type Draft = Reading;
export const empty_draft: Draft = { kind: "vor", station: "", value: "", time: "" };

type Typed = "value" | "time" | "height" | "heading" | "airspeed" | "fuel" | "last-time" | "last-within";

interface Props {
  readonly asked: FindAsked;
  readonly put: (change: Partial<FindAsked>) => void;
  readonly draft: Draft;
  readonly set_draft: (draft: Draft) => void;
  /** What goes into the value next: the keyboard, and the pad. */
  readonly value: RefObject<HTMLInputElement | null>;
  readonly stations: readonly ChartStation[];
  readonly has_card: boolean;
}

const pad_keys = ["7", "8", "9", "4", "5", "6", "1", "2", "3", ".", "0", "back"] as const;

/** For fingers: types into the field that was touched last, and leaves it the focus, so that the keys of a keyboard go there too. */
function Pad(props: { press: (key: (typeof pad_keys)[number]) => void; into: string }) {
  return (
    <div class="pad" role="group" aria-label={`Number pad, into ${props.into}`}>
      {pad_keys.map((key) => (
        <button type="button" onPointerDown={(event) => event.preventDefault()} onClick={() => props.press(key)} aria-label={key === "back" ? "delete the last" : key}>
          {key === "back" ? "⌫" : key}
        </button>
      ))}
    </div>
  );
}

/** Of a kind one thing is meant by its station: an NDB's bearing is of no VOR. */
const fits: Record<Kind, (station: ChartStation) => boolean> = {
  vor: (station) => station.kind.startsWith("vor"),
  "vor-to": (station) => station.kind.startsWith("vor"),
  "vor-from": (station) => station.kind.startsWith("vor"),
  dme: (station) => /dme|vortac|tacan/.test(station.kind),
  ndb: (station) => station.kind.startsWith("ndb"),
  "ndb-nose": (station) => station.kind.startsWith("ndb"),
  loc: (station) => station.kind === "localizer",
  over: (station) => /^(vor|ndb)/.test(station.kind),
  silent: () => true,
  "silent-dme": (station) => /dme|vortac|tacan/.test(station.kind),
};

const field_says: Record<Typed, string> = {
  value: "the reading",
  time: "minutes ago",
  height: "the altitude",
  heading: "the heading",
  airspeed: "the airspeed",
  fuel: "the fuel left",
  "last-time": "minutes since the last known place",
  "last-within": "how well it was known",
};

const known_of = ({ height, heading, airspeed, fuel, last }: Known): Known => ({ height, heading, airspeed, fuel, last });
const same = (one: Known, other: Known): boolean => JSON.stringify(known_of(one)) === JSON.stringify(known_of(other));

export function ReadingForm(props: Props) {
  const { asked, put, draft, set_draft, value, stations, has_card } = props;
  const [typed, set_typed] = useState<Typed>(asked.height === "" ? "height" : "value");
  // A figure half typed is not asked for: it goes into the question when it is left, or a reading is added.
  const [known, set_known] = useState(() => known_of(asked));
  useEffect(() => set_known(known_of(asked)), [asked]);
  const station = useRef<HTMLInputElement>(null);
  const kind = kinds[draft.kind];
  const know = (change: Partial<Known>) => set_known({ ...known, ...change });
  const know_last = (change: Partial<Known["last"]>) => know({ last: { ...known.last, ...change } });

  const texts: Record<Typed, readonly [text: string, set: (text: string) => void]> = {
    value: [draft.value, (text) => set_draft({ ...draft, value: text })],
    time: [draft.time, (text) => set_draft({ ...draft, time: text })],
    height: [known.height, (height) => know({ height })],
    heading: [known.heading, (heading) => know({ heading })],
    airspeed: [known.airspeed, (airspeed) => know({ airspeed })],
    fuel: [known.fuel, (fuel) => know({ fuel })],
    "last-time": [known.last.time, (time) => know_last({ time })],
    "last-within": [known.last.within, (within) => know_last({ within })],
  };
  const press = (key: (typeof pad_keys)[number]) => {
    const [text, set] = texts[typed];
    set(key === "back" ? text.slice(0, -1) : text + key);
  };
  const number = (name: Typed, says: string, more: Record<string, unknown> = {}) => (
    <label class="field">
      <span>{says}</span>
      <input
        // The pad is for fingers: no keyboard need cover the screen.
        inputMode="none"
        size={6}
        autoComplete="off"
        value={texts[name][0]}
        class={typed === name ? "typed-into" : ""}
        onFocus={() => set_typed(name)}
        onInput={(event) => texts[name][1](event.currentTarget.value)}
        {...more}
      />
    </label>
  );
  const note_known = () => (same(known, asked) ? undefined : put(known));
  const figure = (name: Typed, says: string, more: Record<string, unknown> = {}) => number(name, says, { onBlur: note_known, pattern: "[0-9]{1,5}", ...more });

  return (
    <form
      class="reading-form"
      aria-label="What was read"
      onSubmit={(event) => {
        event.preventDefault();
        const whole = draft.station !== "" && (kind.value === null || draft.value !== "");
        put({ ...known, readings: whole ? [...asked.readings, { ...draft, station: draft.station.toUpperCase() }] : asked.readings });
        if (!whole) return;
        set_draft({ ...empty_draft, kind: draft.kind });
        station.current?.focus();
      }}
    >
      <div class="fields">
        {figure("height", "Altitude, ft", { required: true })}
        {figure("heading", "Heading", { pattern: "[0-9]{1,3}" })}
        {figure("airspeed", "True airspeed, kt", { placeholder: "cruise" })}
        {figure("fuel", "Fuel left, lb")}
        {has_card && (
          <label class="tick-box">
            <input type="checkbox" checked={asked.on_card} onChange={() => put({ ...known, on_card: !asked.on_card })} />
            <span>on the way of the planned flight</span>
          </label>
        )}
      </div>
      <div
        class="fields"
        // Its figures belong together: a place without its minutes would be one of now.
        onFocusOut={(event) => {
          if (!event.currentTarget.contains(event.relatedTarget as Node | null)) note_known();
        }}
      >
        <label class="field">
          <span>Last known place</span>
          <input
            size={11}
            value={known.last.place}
            list="points-known"
            autoComplete="off"
            autoCapitalize="characters"
            spellcheck={false}
            placeholder="XAB090012"
            onInput={(event) => know_last({ place: event.currentTarget.value.toUpperCase() })}
          />
        </label>
        {number("last-time", "Minutes since", { placeholder: "now", pattern: "[0-9]{1,3}|[0-9]{1,2}:[0-9]{2}" })}
        {number("last-within", "Within, NM", { pattern: "[0-9]{1,3}([.][0-9])?" })}
      </div>
      <div class="fields">
        <label class="field">
          <span>Read</span>
          <select value={draft.kind} onChange={(event) => set_draft({ ...draft, kind: event.currentTarget.value as Kind, value: "" })}>
            {kind_names.map((name) => (
              <option value={name}>{kinds[name].says}</option>
            ))}
          </select>
        </label>
        <label class="field">
          <span>Station</span>
          <input
            ref={station}
            size={8}
            value={draft.station}
            list="stations-read"
            autoComplete="off"
            autoCapitalize="characters"
            spellcheck={false}
            onInput={(event) => set_draft({ ...draft, station: event.currentTarget.value })}
          />
        </label>
        {draft.kind === "loc" ? (
          <label class="field">
            <span>Needle</span>
            <select value={draft.value} onChange={(event) => set_draft({ ...draft, value: event.currentTarget.value })}>
              <option value="" />
              {needles.map((needle) => (
                <option value={needle}>{needle}</option>
              ))}
            </select>
          </label>
        ) : (
          kind.value && number("value", kind.value === "NM" ? "Distance, NM" : `${kind.value[0]!.toUpperCase()}${kind.value.slice(1)}, °`, { ref: value })
        )}
        {number("time", "Minutes ago", { placeholder: "now" })}
        <button type="submit" class="main">
          Add
        </button>
      </div>
      <Pad press={press} into={field_says[typed]} />
      <datalist id="points-known">
        {stations
          .filter((one) => one.kind !== "localizer")
          .map((one) => (
            <option value={one.ident}>{one.name}</option>
          ))}
      </datalist>
      <datalist id="stations-read">
        {stations.filter(fits[draft.kind]).map((one) => (
          <option value={one.ident}>{`${one.name} ${one.frequency}`}</option>
        ))}
      </datalist>
    </form>
  );
}
