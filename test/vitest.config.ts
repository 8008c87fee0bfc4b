import { defineConfig } from "vitest/config";

export default defineConfig({
	test: {
		root: new URL("..", import.meta.url).pathname,
		include: ["test/**/*.test.ts"],
		// Every core works, and the files of a worker share their modules: the library keeps no state between calls.
		maxWorkers: "100%",
		isolate: false,
		testTimeout: 240_000,
		hookTimeout: 120_000,
		// A snapshot that is missing is a fault; -u writes it.
		update: "none",
		allowOnly: false,
	},
});
