// The name of the view in the browser's tab and history.

export function title(view: string): void {
  document.title = `${view} · throughcure`;
}
