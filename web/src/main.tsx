import { render } from "preact";
import { Page } from "./page";
import "./page.css";

const box = document.getElementById("page");
if (box) render(<Page />, box);
