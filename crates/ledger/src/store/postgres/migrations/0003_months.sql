-- From a month to the entries recorded in it, and to those measured in it; the day is there to end within a month. A search that
-- is bounded by days asks one month after the other for its first or last entry: that of ten years is 120 steps.

DROP INDEX fact_by_day;
CREATE INDEX fact_by_month ON fact (substr(recorded_on, 1, 7), sequence, recorded_on);
CREATE INDEX fact_by_month_measured ON fact (substr(measured_on, 1, 7), sequence, measured_on);
