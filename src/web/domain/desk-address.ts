/** Where the desk lives, without a slash at its end; the service and the pages in the browser both take it from here. */
export const DESK = '/desk';
