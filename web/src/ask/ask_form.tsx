import { useEffect, useState } from "preact/hooks";
import type { SearchDocument } from "../api/generated";
import type { PlanQuestion } from "../api/service";
import * as service from "../api/service";

interface Props {
  readonly question: PlanQuestion | null;
  readonly aircraft: readonly string[];
  readonly busy: boolean;
  readonly ask: (question: PlanQuestion) => void;
}

const text_of = (form: FormData, name: string) => String(form.get(name) ?? "").trim();
const idents_of = (text: string) => text.toUpperCase().split(/[\s,]+/).filter((ident) => ident !== "");

/** The question as the form has it; what is left empty is not asked, and the service chooses. */
export function question_of_form(form: FormData): PlanQuestion {
  const wind = text_of(form, "wind");
  const date = text_of(form, "date");
  const altitude = text_of(form, "altitude");
  const choices = text_of(form, "choices");
  const via = idents_of(text_of(form, "via"));
  const avoid = idents_of(text_of(form, "avoid"));
  return {
    from: text_of(form, "from").toUpperCase(),
    to: text_of(form, "to").toUpperCase(),
    aircraft: text_of(form, "aircraft"),
    ...(wind ? { wind } : {}),
    ...(date ? { date } : {}),
    ...(altitude ? { altitude_ft: Number(altitude) } : {}),
    ...(via.length > 0 ? { via } : {}),
    ...(avoid.length > 0 ? { avoid } : {}),
    ...(form.has("no_ndb") ? { no_ndb: true } : {}),
    ...(form.has("no_dead_reckoning") ? { no_dead_reckoning: true } : {}),
    ...(choices && choices !== "1" ? { choices: Number(choices) } : {}),
  };
}

function Field(props: { name: string; label: string; value: string; size: number; required?: boolean; type?: "text" | "date" | "number"; hint?: string; list?: string; onInput?: (value: string) => void }) {
  const { name, label, value, size, required, type, hint, list, onInput } = props;
  return (
    <label class="field">
      <span>{label}</span>
      <input
        name={name}
        type={type ?? "text"}
        defaultValue={value}
        size={size}
        required={required ?? false}
        placeholder={hint ?? ""}
        autoComplete="off"
        spellcheck={false}
        {...(list ? { list } : {})}
        onInput={(event) => onInput?.(event.currentTarget.value)}
      />
    </label>
  );
}

function useAirportsLike(words: string): SearchDocument["found"] {
  const [found, set_found] = useState<SearchDocument["found"]>([]);
  useEffect(() => {
    if (words.length < 2) return;
    const cancel = new AbortController();
    service.search(words, cancel.signal).then(
      (answer) => set_found(answer.found.filter((one) => one.kind === "airport")),
      () => {},
    );
    return () => cancel.abort();
  }, [words]);
  return found;
}

export function AskForm(props: Props) {
  const { question, aircraft, busy, ask } = props;
  const [words, set_words] = useState("");
  const airports = useAirportsLike(words);
  const on_submit = (event: SubmitEvent) => {
    event.preventDefault();
    ask(question_of_form(new FormData(event.currentTarget as HTMLFormElement)));
  };
  // Filled in anew when another question is put from elsewhere: the address bar, or another flight that was offered.
  return (
    <form class="ask" key={JSON.stringify(question)} onSubmit={on_submit} aria-label="Ask for a flight">
      <Field name="from" label="From" value={question?.from ?? ""} size={6} required list="airports" onInput={set_words} />
      <Field name="to" label="To" value={question?.to ?? ""} size={6} required list="airports" onInput={set_words} />
      <label class="field">
        <span>Aircraft</span>
        <select name="aircraft" defaultValue={question?.aircraft ?? ""}>
          {[...new Set([question?.aircraft, ...aircraft])]
            .filter((name) => name !== undefined)
            .map((name) => (
              <option value={name} selected={name === question?.aircraft}>
                {name}
              </option>
            ))}
        </select>
      </label>
      <Field name="wind" label="Wind" value={question?.wind ?? ""} size={8} hint="270/15" />
      <Field name="date" label="Date" value={question?.date ?? ""} size={10} type="date" />
      <details class="more">
        <summary>More</summary>
        <div>
          <Field name="altitude" label="Cruise, ft" value={String(question?.altitude_ft ?? "")} size={6} type="number" />
          <Field name="via" label="Via" value={question?.via?.join(", ") ?? ""} size={12} />
          <Field name="avoid" label="Avoid" value={question?.avoid?.join(", ") ?? ""} size={12} />
          <Field name="choices" label="Flights to offer" value={String(question?.choices ?? 1)} size={2} type="number" />
          <label class="tick-box">
            <input type="checkbox" name="no_ndb" defaultChecked={question?.no_ndb ?? false} />
            <span>no NDB</span>
          </label>
          <label class="tick-box">
            <input type="checkbox" name="no_dead_reckoning" defaultChecked={question?.no_dead_reckoning ?? false} />
            <span>nothing by heading alone</span>
          </label>
        </div>
      </details>
      <button type="submit" class="main" disabled={busy}>
        {busy ? "Planning" : "Plan"}
      </button>
      <datalist id="airports">
        {airports.map((airport) => (
          <option value={airport.ident}>{airport.name}</option>
        ))}
      </datalist>
    </form>
  );
}
