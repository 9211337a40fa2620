import { svelte } from "@sveltejs/vite-plugin-svelte";
import { defineConfig } from "vite";

export default defineConfig({
  plugins: [svelte()],
  build: {
    target: "es2022",
    // Every file stands by itself: the server allows nothing inline, no data: addresses, no polyfill script.
    assetsInlineLimit: 0,
    // The 3-D view is one file of that size (kB), fetched when it is asked for.
    chunkSizeWarningLimit: 600,
    modulePreload: { polyfill: false },
  },
});
