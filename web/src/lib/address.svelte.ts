// The address shown in the browser, followed without loading the page again.

/** The path and the query now, followed by the page. */
class Address {
  path = $state(globalThis.location?.pathname ?? "/");
  /** "?light=3", or "" for none. */
  query = $state(globalThis.location?.search ?? "");

  constructor() {
    globalThis.window?.addEventListener("popstate", () => {
      this.path = location.pathname;
      this.query = location.search;
    });
  }

  /** To a path, with its query where it has one. */
  go(to: string): void {
    const at = to.indexOf("?");
    const [path, query] = at < 0 ? [to, ""] : [to.slice(0, at), to.slice(at)];
    if (path !== this.path || query !== this.query) history.pushState(null, "", to);
    this.path = path;
    this.query = query;
  }

  /** As go, in place of where one is: going back does not lead there again. */
  replace(to: string): void {
    history.replaceState(null, "", to);
    this.go(to);
  }

  /** Follows a plain click on a link of ours without loading the page again; leaves all others to the browser. */
  follow(event: MouseEvent): void {
    const link = event.target instanceof Element ? event.target.closest("a") : null;
    if (!link || event.defaultPrevented || event.button !== 0) return;
    if (event.metaKey || event.ctrlKey || event.shiftKey || event.altKey) return;
    if (link.origin !== location.origin || link.target || link.hasAttribute("download") || link.hash) return;
    event.preventDefault();
    this.go(link.pathname + link.search);
  }
}

export const address = new Address();
