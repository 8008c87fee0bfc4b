// A thread between a test, which waits without its event loop, and the process that runs command lines.
import { spawn } from "node:child_process";
import { workerData } from "node:worker_threads";

const { main, runner, signal, port } = workerData;
let child = null;
let said = "";

function reply(run) {
	port.postMessage(run);
	Atomics.store(signal, 0, 1);
	Atomics.notify(signal, 0);
}

function start() {
	said = "";
	child = spawn(process.execPath, [runner, main], { stdio: ["ignore", "ignore", "pipe", "ipc"] });
	child.on("message", reply);
	child.stderr.on("data", (piece) => {
		said += piece;
	});
	// A run that ends the process, or breaks it, is told as what it was.
	child.on("exit", (code) => {
		child = null;
		reply({ code, stdout: "", stderr: said });
	});
}

port.on("message", (request) => {
	if (child === null) start();
	child.send(request);
});
