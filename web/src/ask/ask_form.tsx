import { useEffect, useState } from "preact/hooks";
import type { SearchDocument } from "../api/generated";
import type { PlanQuestion } from "../api/service";
import * as service from "../api/service";
import { type Constraint, constraints_of, groups, text_of_constraint, written } from "../flight/constraints";
import { type GivenFile, type GivenFiles, kinds_of_file } from "../flight/given_files";

interface Props {
  readonly question: PlanQuestion | null;
  readonly files: GivenFiles;
  readonly aircraft: readonly string[];
  readonly busy: boolean;
  readonly ask: (question: PlanQuestion, files: GivenFiles) => void;
}

const text_of = (form: FormData, name: string) => String(form.get(name) ?? "").trim();

/** The question as the form has it; what is left empty is not asked, and the service chooses. */
export function question_of_form(form: FormData): PlanQuestion {
  const aircraft = text_of(form, "aircraft");
  const wind = text_of(form, "wind");
  const date = text_of(form, "date");
  return {
    from: text_of(form, "from").toUpperCase(),
    to: text_of(form, "to").toUpperCase(),
    ...(aircraft ? { aircraft } : {}),
    ...(wind ? { wind } : {}),
    ...(date ? { date } : {}),
    ...constraints_of((constraint) => (form.has(constraint.field) ? text_of(form, constraint.field) : null)),
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

function ConstraintField(props: { constraint: Constraint; question: PlanQuestion | null }) {
  const { constraint } = props;
  const { field, label } = constraint;
  const text = text_of_constraint(props.question ?? {}, constraint);
  switch (constraint.kind) {
    case "tick":
      return (
        <label class="tick-box">
          <input type="checkbox" name={field} defaultChecked={text !== null} />
          <span>{label}</span>
        </label>
      );
    case "one_of":
      return (
        <label class="field">
          <span>{label}</span>
          <select name={field} defaultValue={text ?? ""}>
            {constraint.of.map(([value, says]) => (
              <option value={value} selected={value === (text ?? "")}>
                {says}
              </option>
            ))}
          </select>
        </label>
      );
    case "number":
      return <Field name={field} label={label} value={field === "choices" ? (text ?? "1") : (text ?? "")} size={constraint.size} type="number" />;
    default:
      return <Field name={field} label={label} value={constraint.kind === "idents" ? (text ?? "").replaceAll(",", ", ") : (text ?? "")} size={constraint.size} hint={constraint.hint ?? ""} />;
  }
}

/** One file that is given with the question, until it is taken out again. */
function FileField(props: { label: string; accept: string; file: GivenFile | null; put: (file: GivenFile | null) => void }) {
  const { label, accept, file, put } = props;
  if (file)
    return (
      <div class="field">
        <span>{label}</span>
        <span class="given-file">
          {file.name}{" "}
          <button type="button" onClick={() => put(null)} aria-label={`Leave out ${file.name}`}>
            leave out
          </button>
        </span>
      </div>
    );
  return (
    <label class="field">
      <span>{label}</span>
      <input
        type="file"
        accept={accept}
        onChange={(event) => {
          const chosen = event.currentTarget.files?.[0];
          if (chosen) void chosen.text().then((text) => put({ name: chosen.name, text }));
        }}
      />
    </label>
  );
}

/** Made anew (by its key) when another question is put from elsewhere: the address bar, or another flight that was offered. */
export function AskForm(props: Props) {
  const { question, aircraft, busy, ask } = props;
  const [words, set_words] = useState("");
  const [files, set_files] = useState(props.files);
  const asked_besides = written(question ?? {}).length + Object.values(files).filter((file) => file !== null).length;
  const airports = useAirportsLike(words);
  const on_submit = (event: SubmitEvent) => {
    event.preventDefault();
    ask(question_of_form(new FormData(event.currentTarget as HTMLFormElement)), files);
  };
  return (
    <form class="ask" onSubmit={on_submit} aria-label="Ask for a flight">
      <Field name="from" label="From" value={question?.from ?? ""} size={6} required list="airports" onInput={set_words} />
      <Field name="to" label="To" value={question?.to ?? ""} size={6} required list="airports" onInput={set_words} />
      <label class="field">
        <span>Aircraft</span>
        {files.aircraft ? (
          <output>{files.aircraft.name}</output>
        ) : (
          <select name="aircraft" defaultValue={question?.aircraft ?? ""}>
            {question && !question.aircraft && <option value="">default</option>}
            {[...new Set([question?.aircraft, ...aircraft])]
              .filter((name) => name !== undefined)
              .map((name) => (
                <option value={name} selected={name === question?.aircraft}>
                  {name}
                </option>
              ))}
          </select>
        )}
      </label>
      <Field name="wind" label="Wind" value={question?.wind ?? ""} size={8} hint="270/15" />
      <Field name="date" label="Date" value={question?.date ?? ""} size={10} type="date" />
      <details class="more">
        <summary>{asked_besides > 0 ? `More (${asked_besides})` : "More"}</summary>
        <div>
          {groups.map((group) => (
            <fieldset>
              <legend>{group.title}</legend>
              {group.constraints.map((constraint) => (
                <ConstraintField constraint={constraint} question={question} />
              ))}
            </fieldset>
          ))}
          <fieldset>
            <legend>Files</legend>
            {kinds_of_file.map(({ kind, label, accept }) => (
              <FileField label={label} accept={accept} file={files[kind]} put={(file) => set_files((before) => ({ ...before, [kind]: file }))} />
            ))}
          </fieldset>
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
