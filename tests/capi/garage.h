/* The smallest job that several tests use: a charging receptacle in a garage. */
#ifndef GARAGE_H
#define GARAGE_H

static const char garage[] =
    "{\"work\": \"new\", \"occupancy\": \"one_family_dwelling\", \"panels\": [{\"circuits\": [{"
    "\"system\": \"120/240 V, 1-phase, 3-wire\", \"breaker\": \"50 A\", \"receptacles\": [{"
    "\"configuration\": \"14-50R\", \"serves\": \"vehicle_charging\", \"location\": \"garage\","
    "\"gfci\": \"none\"}]}]}]}";

#endif
