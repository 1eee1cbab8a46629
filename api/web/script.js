// What makes pages handier; every page works without.
"use strict";
