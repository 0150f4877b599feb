import { useEffect, useId, useRef, useState } from "preact/hooks";
import type { SearchDocument, SearchFound } from "../api/generated";
import * as service from "../api/service";

interface Props {
  readonly go: (found: SearchFound) => void;
}

/** What is named so or nearly so; null until there is an answer. */
function useFound(words: string): SearchDocument | null {
  const [found, set_found] = useState<SearchDocument | null>(null);
  useEffect(() => {
    if (words.trim() === "") {
      set_found(null);
      return;
    }
    const cancel = new AbortController();
    service.search(words.trim(), cancel.signal).then(set_found, () => {});
    return () => cancel.abort();
  }, [words]);
  return found;
}

/** The key `/` leads to the field from anywhere but another field. */
function useSlash(field: preact.RefObject<HTMLInputElement | null>): void {
  useEffect(() => {
    const on_key = (event: KeyboardEvent) => {
      const typing = event.target instanceof Element && event.target.closest("input, select, textarea") !== null;
      if (event.key !== "/" || typing || event.ctrlKey || event.metaKey || event.altKey) return;
      field.current?.focus();
      event.preventDefault();
    };
    addEventListener("keydown", on_key);
    return () => removeEventListener("keydown", on_key);
  }, [field]);
}

/** Looks for an aid, a fix, an airway or an airport by part of its ident or name, and goes there. */
export function SearchField(props: Props) {
  const { go } = props;
  const [words, set_words] = useState("");
  const [open, set_open] = useState(false);
  const [at, set_at] = useState(0);
  const field = useRef<HTMLInputElement>(null);
  const list = useId();
  const answer = useFound(words);
  const found = answer?.found ?? [];
  const shows = open && answer !== null;
  useSlash(field);
  useEffect(() => set_at(0), [answer]);
  const take = (one: SearchFound | undefined) => {
    if (!one) return;
    set_open(false);
    go(one);
  };
  const on_key = (event: KeyboardEvent) => {
    const keys: Record<string, () => void> = {
      ArrowDown: () => set_at(Math.min(found.length - 1, at + 1)),
      ArrowUp: () => set_at(Math.max(0, at - 1)),
      Enter: () => take(found[at]),
      Escape: () => (shows ? set_open(false) : set_words("")),
    };
    const act = keys[event.key];
    if (!act) return;
    act();
    event.preventDefault();
  };
  return (
    <div class="search">
      <label class="field">
        <span>
          Find on the chart <kbd>/</kbd>
        </span>
        <input
          ref={field}
          role="combobox"
          aria-expanded={shows}
          aria-controls={list}
          aria-autocomplete="list"
          aria-activedescendant={shows && found[at] ? `${list}-${at}` : ""}
          value={words}
          size={16}
          maxLength={40}
          autoComplete="off"
          spellcheck={false}
          onInput={(event) => {
            set_words(event.currentTarget.value);
            set_open(true);
          }}
          onKeyDown={on_key}
          onBlur={() => set_open(false)}
        />
      </label>
      <div class="search-found" hidden={!shows}>
        {answer?.only_near && <p>{found.length > 0 ? `Nothing is named ${answer.asked}; near it:` : `Nothing is named ${answer.asked}, nor anything like it.`}</p>}
        <ul id={list} role="listbox" aria-label="What was found">
          {found.map((one, index) => (
            <li
              id={`${list}-${index}`}
              role="option"
              aria-selected={index === at}
              onPointerDown={(event) => event.preventDefault()}
              onClick={() => take(one)}
            >
              <b>{one.ident}</b> {one.name} <span class="kind">{one.says}</span>
            </li>
          ))}
        </ul>
      </div>
    </div>
  );
}
