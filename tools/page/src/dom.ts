/// Small helpers that build elements; every text goes in as text, never as markup.

type Child = Node | string | null | false;
type Attributes = Record<string, string | number | boolean | null | EventListener>;

/// Makes an element. `on...` attributes take a listener; true is an empty attribute, false and null leave it out.
export function h<K extends keyof HTMLElementTagNameMap>(
    tag: K, attributes: Attributes = {}, ...children: Child[]
): HTMLElementTagNameMap[K] {
    const element = document.createElement(tag);
    fill(element, attributes, children);
    return element;
}

/// The same for a drawing.
export function svg<K extends keyof SVGElementTagNameMap>(
    tag: K, attributes: Attributes = {}, ...children: Child[]
): SVGElementTagNameMap[K] {
    const element = document.createElementNS("http://www.w3.org/2000/svg", tag);
    fill(element, attributes, children);
    return element;
}

function fill(element: HTMLElement | SVGElement, attributes: Attributes, children: Child[]): void {
    for (const [name, value] of Object.entries(attributes)) {
        if (typeof value === "function") element.addEventListener(name.slice(2), value);
        else if (name === "style") element.style.cssText = String(value); // an attribute the live page's policy would forbid
        else if (value !== null && value !== false) element.setAttribute(name, value === true ? "" : String(value));
    }
    element.append(...children.filter((c): c is Node | string => c !== null && c !== false));
}

/// A region that scrolls sideways where its content is too wide; only then it takes a stop of the Tab key.
export function scrolling(label: string, ...content: Child[]): HTMLDivElement {
    const region = h("div", { class: "scroll", role: "region", "aria-label": label }, ...content);
    const widths = new WeakMap<Element, number>(); // as reported: to measure would lay the page out at once
    const width = (element: Element) => widths.get(element) ?? 0;
    const observer = new ResizeObserver((entries) => {
        for (const { target, borderBoxSize } of entries) widths.set(target, borderBoxSize[0].inlineSize);
        if ([...region.children].some((child) => width(child) > width(region) + 0.5)) region.tabIndex = 0;
        else region.removeAttribute("tabindex");
    });
    const watch = () => [region, ...region.children].forEach((element) => observer.observe(element));
    new MutationObserver(watch).observe(region, { childList: true });
    watch();
    return region;
}

let ids = 0;
/// An id that no other element of this page has.
export const uniqueId = (stem: string): string => `${stem}-${++ids}`;
