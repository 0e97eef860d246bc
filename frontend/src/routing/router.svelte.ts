import { routeOf, type Route } from './route';

/** The address bar as state: addresses without a hash, the browser's own back and forward. */
class Router {
  path = $state(location.pathname);
  readonly #route = $derived(routeOf(this.path));

  get route(): Route {
    return this.#route;
  }

  /** Goes to a path of the app. `replace` leaves no step back to where it came from. */
  go(path: string, replace = false): void {
    if (replace) history.replaceState(null, '', path);
    else history.pushState(null, '', path);
    this.path = location.pathname;
  }

  /** Listens to the browser and to links of the app; gives back what ends the listening. */
  listen(): () => void {
    const moved = () => {
      this.path = location.pathname;
    };
    const clicked = (event: MouseEvent) => {
      const path = pathOfPlainClick(event);
      if (path === null) return;
      event.preventDefault();
      if (path !== location.pathname) this.go(path);
    };
    addEventListener('popstate', moved);
    document.addEventListener('click', clicked);
    return () => {
      removeEventListener('popstate', moved);
      document.removeEventListener('click', clicked);
    };
  }
}

// A click with a modifier, a second button or another target means a new tab, and is the browser's business.
function pathOfPlainClick(event: MouseEvent): string | null {
  if (event.defaultPrevented || event.button !== 0) return null;
  if (event.metaKey || event.ctrlKey || event.shiftKey || event.altKey) return null;
  const link = event.target instanceof Element ? event.target.closest('a[href]') : null;
  if (!(link instanceof HTMLAnchorElement) || link.target !== '' || link.hasAttribute('download')) return null;
  if (link.origin !== location.origin || link.hash !== '') return null;
  return link.pathname;
}

/** The one router of this page. */
export const router = new Router();
