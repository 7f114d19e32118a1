"""Questions asked of plans: where the choice flips, what practice pays, whether a round bore the plan out."""
