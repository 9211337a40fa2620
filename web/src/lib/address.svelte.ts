// The address shown in the browser, followed without loading the page again.

/** The path now, followed by the page. */
class Address {
  path = $state(globalThis.location?.pathname ?? "/");

  constructor() {
    globalThis.window?.addEventListener("popstate", () => {
      this.path = location.pathname;
    });
  }

  go(path: string): void {
    if (path !== this.path) history.pushState(null, "", path);
    this.path = path;
  }

  /** Follows a plain click on a link of ours without loading the page again; leaves all others to the browser. */
  follow(event: MouseEvent): void {
    const link = event.target instanceof Element ? event.target.closest("a") : null;
    if (!link || event.defaultPrevented || event.button !== 0) return;
    if (event.metaKey || event.ctrlKey || event.shiftKey || event.altKey) return;
    if (link.origin !== location.origin || link.target || link.hasAttribute("download") || link.hash) return;
    event.preventDefault();
    this.go(link.pathname);
  }
}

export const address = new Address();
