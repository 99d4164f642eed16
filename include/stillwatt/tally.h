/// What the rows of a study sum up to, choice by choice. It is made from the rows as they are written, so
/// that a study that was interrupted sums up to the same.
#ifndef STILLWATT_TALLY_H
#define STILLWATT_TALLY_H

#include "stillwatt/burden.h"
#include "stillwatt/compare.h"

/// What of a row is summed up. Charges are rounded as they are written.
typedef struct sw_row {
    int64_t number;     ///< of the case, from 1
    sw_verdict verdict; ///< the worse one of its sky and of the poor week of an average sky
    double lowest_soc;  ///< the lower one
    int under_days;     ///< the greater one
    int nights, nights_held;
    double missed_wh; ///< because of the battery, under its sky
} sw_row;

#define SW_TALLY_BINS 1001 ///< charges by tenths of a percent

/// One choice.
typedef struct sw_choice_tally {
    int64_t cases, verdicts[SW_OUT + 1];
    int64_t nights, nights_held, under_days;
    double missed_wh;
    int64_t lowest[SW_TALLY_BINS]; ///< cases by lowest charge, cut down
} sw_choice_tally;

/// What a choice costs, against the files as they are (or the first of the vans); where the trips have
/// several vans, the greatest price and mass in any of them.
typedef struct sw_choice_cost {
    double price, labour_s, mass_kg;
    double reserve;              ///< line that it is judged by, on the first trip
    int price_known, mass_known; ///< 0: a part that it changes does not tell it
    sw_limit over;               ///< the first limit that it goes over, of any of the vehicles
    const char *over_in;         ///< the file of that van
} sw_choice_cost;

typedef struct sw_tally {
    const sw_study *study;
    int vans;         ///< files that the trips have
    char currency[4]; ///< of all prices; empty: none is given
    sw_choice_tally *choice;
    sw_choice_cost *cost;
    void *owner;
} sw_tally;

/// Makes an empty tally, with what the choices cost in the vans of all trips. Warns where they cost less in
/// one van than in another; what sw_study_plan warns of is not told.
/// @return as sw_study_plan; SW_BAD_INPUT for prices in two currencies; on failure `*out` is NULL
sw_status sw_tally_make(const sw_study *study, const sw_loader *loader, sw_messages *messages,
                        sw_tally **out);
/// Releases a tally; NULL is allowed.
void sw_tally_free(sw_tally *tally);

/// Adds a row; its choice follows from its number.
void sw_tally_add(sw_tally *tally, const sw_row *row);

/// A choice's cases that hold, or only just hold.
int64_t sw_tally_holds(const sw_choice_tally *choice);
/// Their share; 0 without cases.
double sw_tally_share(const sw_choice_tally *choice);
/// The lowest charge under which a share of the cases stays.
double sw_tally_lowest(const sw_choice_tally *choice, double share);
/// Nights that a case holds, in the mean; 0 without cases.
double sw_tally_nights(const sw_choice_tally *choice);
/// Nights that a choice holds on more than the files as they are, in the mean of all cases.
double sw_tally_gain(const sw_tally *tally, int choice);
/// Days of a case on which the charge is under the reserve line, in the mean; a case that fails without that
/// counts as one day.
double sw_tally_under(const sw_choice_tally *choice);

/// Whether a choice fits every vehicle, and its price and mass are known.
int sw_tally_fits(const sw_choice_cost *cost);

/// Whether no other choice that fits the vehicle is as good in price, mass and days under, and better in one
/// of them. Choices that do not fit are none of these.
int sw_tally_is_best(const sw_tally *tally, int choice);

#endif
