// An element that keeps the room it once took: what stands below it does not move under the hand when it says less.

/** Svelte's action. The room is forgotten where the element gets another width. */
export function keepsRoom(element: HTMLElement): { destroy(): void } {
  let width = 0;
  let most = 0;
  const watch = new ResizeObserver(() => {
    const box = element.getBoundingClientRect();
    if (Math.abs(box.width - width) > 1) {
      width = box.width;
      most = 0;
      element.style.minHeight = "";
    }
    const { height } = element.getBoundingClientRect();
    if (height <= most) return;
    most = height;
    element.style.minHeight = `${Math.ceil(height)}px`;
  });
  watch.observe(element);
  return { destroy: () => watch.disconnect() };
}
