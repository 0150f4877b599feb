import { useCallback, useMemo, useState } from "preact/hooks";
import { files_of, type GivenFiles, type GivenNames, type KindOfFile, kinds_of_file } from "./given_files";

const key_of = (kind: KindOfFile, name: string) => `omniway ${kind} ${name}`;

/** Where the browser keeps nothing (it may be told so, or be full), the page does as long as it stands. */
function kept_by_browser(key: string): string | null {
  try {
    return sessionStorage.getItem(key);
  } catch {
    return null;
  }
}
function keep_in_browser(key: string, text: string): void {
  try {
    sessionStorage.setItem(key, text);
  } catch {
    // It stays in the page.
  }
}

/**
 * The files that the address bar names. They are kept as long as the tab of the browser is open, so that back, forward and loading the page anew find them; a
 * bookmark opened another day does not.
 */
export function useGivenFiles(names: GivenNames) {
  const [in_page, set_in_page] = useState<Readonly<Record<string, string>>>({});
  const keep = useCallback((files: GivenFiles) => {
    for (const { kind } of kinds_of_file) {
      const file = files[kind];
      if (!file) continue;
      const key = key_of(kind, file.name);
      keep_in_browser(key, file.text);
      set_in_page((before) => ({ ...before, [key]: file.text }));
    }
  }, []);
  const { files, missing } = useMemo(() => files_of(names, (kind, name) => in_page[key_of(kind, name)] ?? kept_by_browser(key_of(kind, name))), [names, in_page]);
  return { files, missing, keep };
}
