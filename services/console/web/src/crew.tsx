import { render } from "preact";
import "./style.css";

document.body.classList.add("phone");
render(<main />, document.getElementById("app")!);
