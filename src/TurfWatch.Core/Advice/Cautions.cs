using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core.Advice;

/// <summary>The cautions that fit the day, few and short. The mower's manual comes first.</summary>
public static class Cautions
{
    /// <summary>The cautions; none when nobody is sent out to mow.</summary>
    public static ImmutableArray<Phrase> For(Morning morning, Decided decided)
    {
        var said = ImmutableArray.CreateBuilder<Phrase>();
        if (decided.Advice.Verdict is MowingVerdict.MowNow or MowingVerdict.MowFrom)
        {
            said.Add(
                Phrase.Of(
                    $"Clear stones, toys and hoses first, and keep children and pets off the lawn while the blade turns."
                )
            );
            said.Add(
                Phrase.Of(
                    $"Closed shoes, eye and ear protection; your mower's manual has the last word."
                )
            );
        }

        return said.ToImmutable();
    }
}
