// Starts the page: store, live link, first drawing.
import { render } from "preact";
import { App } from "./app.tsx";
import { openSocket, startConnection } from "./connection.ts";
import { createStore } from "./store.ts";
import "./styles/base.css";
import "./styles/yard.css";

const store = createStore();
const place = document.getElementById("page");
if (place === null) throw new Error("index.html requires an element with id page, got none");
render(<App store={store} />, place);
startConnection({ store, socket: openSocket(), pageMs: () => performance.now() });
