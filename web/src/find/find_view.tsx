import { useRef } from "preact/hooks";
import type { FindDocument } from "../api/generated";
import type { ChartStation } from "../api/pictures";
import type * as service from "../api/service";
import { type FindAsked, type Kind, reading_says, tells_place } from "./reading";
import { type Draft, empty_draft, ReadingForm } from "./reading_form";
import { letter_of, percent_says } from "./region";
import type { Finding } from "./use_finding";

interface Props {
  readonly asked: FindAsked;
  readonly finding: Finding;
  readonly put: (change: Partial<FindAsked>) => void;
  readonly draft: Draft;
  readonly set_draft: (draft: Draft) => void;
  readonly stations: readonly ChartStation[];
  readonly has_card: boolean;
  readonly problem_text: (problem: service.Problem) => preact.ComponentChild;
}

/** What was read, as it was typed and then as it was understood. */
export function ReadList(props: { asked: FindAsked; found: FindDocument | null; drop: (index: number) => void }) {
  const { asked, found, drop } = props;
  if (asked.readings.length === 0) return null;
  return (
    <ol class="readings" aria-label="Readings">
      {asked.readings.map((reading, index) => {
        const share = found?.readings.length === asked.readings.length ? (found.readings[index]?.as_read_share ?? null) : null;
        return (
          <li>
            <span>{reading_says(reading)}</span>
            {share !== null && share < 0.9 && <span class="doubt">as read with {percent_says(share)}</span>}
            <button type="button" onClick={() => drop(index)} aria-label={`drop ${reading_says(reading)}`}>
              drop
            </button>
          </li>
        );
      })}
    </ol>
  );
}

const three = (degrees: number) => String(Math.round(degrees) % 360 || 360).padStart(3, "0");

function degrees_says(value: number, positive: string, negative: string, width: number): string {
  const minutes = Math.abs(value) * 60;
  const whole = Math.floor(minutes / 60);
  return `${String(whole).padStart(width, "0")}°${(minutes - whole * 60).toFixed(1).padStart(4, "0")}′${value < 0 ? negative : positive}`;
}

type Place = FindDocument["places"][number];

function place_says({ place, by_station }: Place): string {
  const where = `${degrees_says(place.latitude_deg, "N", "S", 2)} ${degrees_says(place.longitude_deg, "E", "W", 3)}`;
  if (!by_station) return where;
  const away = by_station.slant_range_nm === null ? `${by_station.over_ground_nm.toFixed(1)} NM` : `${by_station.slant_range_nm.toFixed(1)} DME`;
  return `${where}, radial ${three(by_station.radial_deg)}, ${away} of ${by_station.station.ident}`;
}

function on_card_says(on_card: NonNullable<Place["on_card"]>): string {
  const aside = on_card.aside_right_nm;
  return `abeam step ${on_card.step} to ${on_card.to}, ${Math.abs(aside).toFixed(1)} NM ${aside < 0 ? "left" : "right"} of it, ${on_card.to_end_nm.toFixed(1)} NM to its end`;
}

function Places(props: { found: FindDocument }) {
  const { places } = props.found;
  return (
    <ol class="places" aria-label="Where the aircraft may be">
      {places.map((place, index) => (
        <li>
          <b>
            {letter_of(index, places.length)} {percent_says(place.probability_share)}
          </b>
          <span>
            {place_says(place)}
            {place.on_card && <span class="at">{on_card_says(place.on_card)}</span>}
          </span>
        </li>
      ))}
    </ol>
  );
}

const square_says = (square_nm: number): string => square_nm.toFixed(square_nm < 10 ? 1 : 0);

function Sure(props: { found: FindDocument }) {
  const regions = [props.found.half, props.found.most].filter((region) => region !== null);
  return (
    <ul class="sure" aria-label="How sure">
      {regions.map((region) => (
        <li>
          <b>{percent_says(region.probability_share)}</b> in {square_says(region.area_square_nm)} sq NM, {region.greatest_extent_nm.toFixed(1)} NM from end to end
        </li>
      ))}
    </ul>
  );
}

const kind_of_next: Record<FindDocument["next"][number]["kind"], Kind> = { radial: "vor", distance: "dme", bearing: "ndb" };

/** What would tell most; each puts what is to be read into the form. */
function Next(props: { next: FindDocument["next"]; read: (kind: Kind, station: string) => void }) {
  const { next, read } = props;
  if (next.length === 0) return null;
  return (
    <section class="next" aria-label="Tune next">
      <h2>Tune next</h2>
      <ol>
        {next.map((one) => (
          <li>
            <button type="button" onClick={() => read(kind_of_next[one.kind], one.station.ident)}>
              {one.station.ident} {one.kind}
            </button>
            <span>
              {one.says}
              <span class="at">
                95 % in {square_says(one.area_expected_square_nm)} sq NM in place of {square_says(one.area_now_square_nm)}
                {one.heard_share < 0.99 && `, heard with ${percent_says(one.heard_share)}`}
              </span>
            </span>
          </li>
        ))}
      </ol>
    </section>
  );
}

type Now = NonNullable<FindDocument["what_now"]>;

function safe_says({ altitude_msl_ft, at_least_msl_ft, above_ft }: Now["safe_altitude"]): string {
  const level = altitude_msl_ft ?? at_least_msl_ft;
  if (level === null) return "How high is safe here is not known";
  const stands = above_ft === null ? "" : above_ft < 0 ? `; this altitude is ${-above_ft} ft below it: climb` : `; this altitude is ${above_ft} ft above it`;
  return `${level} ft ${altitude_msl_ft === null ? "at least, and that may not do" : "is safe over all of the 95 % region"}${stands}`;
}

/** How high is safe, and where one can land soonest. */
function WhatNow(props: { now: Now }) {
  const { now } = props;
  return (
    <section class="what-now" aria-label="Now">
      <h2>Now</h2>
      <p class={now.climb_first ? "climb" : ""}>{safe_says(now.safe_altitude)}.</p>
      {!now.sure_enough && <p>The place is not sure enough to go on by it: tune what tells more first.</p>}
      <ol>
        {now.airports.map(({ airport, time_min, distance_nm, flight }) => (
          <li>
            <b>{airport.ident}</b> {airport.name}
            <span class="at">
              {distance_nm.toFixed(0)} NM{time_min !== null && `, ${time_min.toFixed(0)} min`}
              {flight && `: ${flight.route}${flight.approach && `, ${flight.approach}`}`}
            </span>
          </li>
        ))}
      </ol>
    </section>
  );
}

export function Told(props: { found: FindDocument; read: (kind: Kind, station: string) => void }) {
  const { found, read } = props;
  return (
    <>
      {found.contradiction && (
        <div class="contradiction" role="alert">
          <h2>{found.contradiction.too_little_read ? "Too little was read" : "This cannot be"}</h2>
          <p>{found.contradiction.says}</p>
        </div>
      )}
      <Places found={found} />
      <Sure found={found} />
      {found.suspicions.length > 0 && (
        <section class="suspicions" aria-label="What may be wrong">
          <h2>What may be wrong</h2>
          <ul>
            {found.suspicions.map((one) => (
              <li>
                <b>{percent_says(one.probability_share)}</b> {one.says}
              </li>
            ))}
          </ul>
        </section>
      )}
      <Next next={found.next} read={read} />
      {found.what_now && <WhatNow now={found.what_now} />}
      <p class="caution">{found.caution}</p>
    </>
  );
}

/** Where one is: what was read, and what follows from it. */
export function FindView(props: Props) {
  const { asked, finding, put, draft, set_draft, stations, has_card, problem_text } = props;
  const { found, busy, problem } = finding;
  const value = useRef<HTMLInputElement>(null);
  const read = (kind: Kind, station: string) => {
    set_draft({ ...empty_draft, kind, station });
    // After the form has drawn its field.
    requestAnimationFrame(() => value.current?.focus());
  };
  return (
    <section class="find" aria-label="Where am I">
      <ReadingForm asked={asked} put={put} draft={draft} set_draft={set_draft} value={value} stations={stations} has_card={has_card} />
      <ReadList asked={asked} found={found} drop={(index) => put({ readings: asked.readings.filter((_, each) => each !== index) })} />
      <p class="hint" role="status">
        {busy ? "Reckoning." : tells_place(asked) && asked.height === "" ? "The altitude is needed: slant range and reception depend on it." : ""}
      </p>
      {problem && problem_text(problem)}
      {found && (
        <div class={busy ? "told-place waits" : "told-place"}>
          <Told found={found} read={read} />
        </div>
      )}
    </section>
  );
}
