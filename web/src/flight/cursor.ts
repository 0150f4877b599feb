type Watcher = (at_nm: number) => void;

/**
 * The one place along the flight that all views show. It is no state of the page's components: a view that follows it draws
 * what moves and nothing else, once a frame however often it is moved.
 */
export class Cursor {
  private length_nm_ = Infinity;
  private waiting_ = false;
  private readonly watchers_ = new Set<Watcher>();

  constructor(
    private at_nm_ = 0,
    private readonly next_frame: (then: () => void) => void = (then) => void requestAnimationFrame(then),
  ) {}

  get at_nm(): number {
    return this.at_nm_;
  }

  /** How far it can go: as far as one likes until a flight is there. */
  set length_nm(length_nm: number) {
    this.length_nm_ = length_nm;
    this.move(this.at_nm_);
  }

  move(at_nm: number): void {
    this.at_nm_ = Math.min(this.length_nm_, Math.max(0, at_nm));
    if (this.waiting_) return;
    this.waiting_ = true;
    this.next_frame(() => {
      this.waiting_ = false;
      for (const watcher of this.watchers_) watcher(this.at_nm_);
    });
  }

  /** Calls at once, and after each move; returns what ends it. */
  watch(watcher: Watcher): () => void {
    this.watchers_.add(watcher);
    watcher(this.at_nm_);
    return () => this.watchers_.delete(watcher);
  }
}
