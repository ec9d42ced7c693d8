import { isProductOpen } from "./product.ts";

/** Where the tables below the frame stand, fetched when one comes near. */
export const belowPart = "plan-below";
export const productPart = "whole-product";

let isAwaited = false;

/** Opens the grinding balance and goes there; where it is not fetched yet, to where it will stand. */
export function showProduct(): void {
  isProductOpen.value = true;
  isAwaited = document.getElementById(productPart) === null;
  if (isAwaited) document.getElementById(belowPart)?.scrollIntoView();
  else goToProduct();
}

/** Goes to the balance that was asked for before it was here. */
export function goToAwaitedProduct(): void {
  if (isAwaited) goToProduct();
  isAwaited = false;
}

function goToProduct(): void {
  const part = document.getElementById(productPart);
  part?.scrollIntoView();
  part?.querySelector("summary")?.focus({ preventScroll: true });
}
