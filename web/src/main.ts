import { mount } from "svelte";
import App from "./App.svelte";
import "./app.css";

const page = document.getElementById("page");
if (page) mount(App, { target: page });
