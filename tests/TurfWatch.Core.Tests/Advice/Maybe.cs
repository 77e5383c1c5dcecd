using System.Collections.Immutable;
using TurfWatch.Core.Advice;

namespace TurfWatch.Core.Tests.Advice;

internal static class Maybe
{
    public static Hold? FirstOrNull(this ImmutableArray<Hold> holds) =>
        holds.IsEmpty ? null : holds[0];
}
